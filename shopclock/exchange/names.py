"""A batch by its name, an order by who ordered, as somebody types them."""

from shopclock.shop.planning.orders import open_orders
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Batch, CustomerOrder
from shopclock.shop.values.errors import ShopError

NAMED = 5


def batches_named(floor: ShopFloor, name: str) -> tuple[Batch, ...]:
    """Return the batches of this name, whatever its capitals; ShopError names the newest that there are."""
    batches = sorted(floor.all(Batch), key=lambda batch: (batch.started_us, batch.id))
    wanted = name.strip().casefold()
    found = tuple(batch for batch in batches if batch.name.casefold() == wanted)
    if not found:
        raise ShopError(f"There is no batch {name!r}. {_there_are([batch.name for batch in batches])}")
    return found


def _there_are(names: list[str]) -> str:
    if not names:
        return "The record has no batches yet."
    newest = ", ".join(reversed(names[-NAMED:]))
    if len(names) == 1:
        return f"There is only {newest}."
    return f"There are {newest}." if len(names) <= NAMED else f"The newest of {len(names)} are {newest}."


def order_named(floor: ShopFloor, who: str) -> CustomerOrder:
    """Return the open order of this name, whatever its capitals: of several the one that is promised first.

    ShopError names those that there are.
    """
    orders, wanted = open_orders(floor), who.strip().casefold()
    found = next((order for order in orders if order.who.casefold() == wanted), None)
    if found is None:
        names = ", ".join(dict.fromkeys(order.who for order in orders))
        raise ShopError(f"There is no open order of {who!r}. {f'Open are: {names}.' if names else 'None is open.'}")
    return found
