"""Mark of the demo shop: a record that has it says so wherever its figures are shown."""

from shopclock.shop.state.settings import store
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction

DEMO = "demo"
"""The setting that marks a record; copies of it and archives carry it along."""
INVENTED = "the demo shop, every figure invented"
IN_SHORT = "demo, invented"


def mark_demo(tx: Transaction) -> None:
    """Mark this record as the demo shop's."""
    store(tx, DEMO, "yes")


def demo_said(floor: ShopFloor) -> str:
    """Say that a record is the demo shop's; nothing where it isn't."""
    return INVENTED if floor.setting(DEMO) is not None else ""
