"""In which order the open batches are worked: by promise, unless the maker moved one."""

from collections.abc import Mapping

from shopclock.shop.planning.orders import batches_of, open_orders
from shopclock.shop.state.settings import forget, store
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Batch

ORDER = "plan order"
"""The setting that keeps the maker's own order: the numbers of batches."""


NOTHING_MORE: Mapping[int, str] = {}


def in_order(floor: ShopFloor, also: Mapping[int, str] = NOTHING_MORE) -> tuple[Batch, ...]:
    """Return the open batches: as they were moved; those never moved by their earliest promise, then by age.

    `also`: days that some would be promised for besides, by batch.
    """
    stored = (floor.setting(ORDER) or "").split()
    moved = {int(number): i for i, number in enumerate(stored) if number.isdigit()}
    promised, late = _promised(floor), "9999-12-31"
    promised |= {batch: min(day, promised.get(batch, late)) for batch, day in also.items()}
    by_promise = sorted(floor.open_batches(), key=lambda b: (promised.get(b.id, late), b.started_us, b.id))
    if not any(batch.id in moved for batch in by_promise):
        return tuple(by_promise)
    return tuple(sorted(by_promise, key=lambda b: moved.get(b.id, len(moved))))


def _promised(floor: ShopFloor) -> dict[int, str]:
    """Return the earliest promise that a batch has to keep, by batch."""
    found: dict[int, str] = {}
    for order in open_orders(floor):
        for batch_id in batches_of(floor, order) if order.promised is not None else ():
            found.setdefault(batch_id, order.promised or "")
    return found


def move(tx: Transaction, batch: Batch, by: int) -> None:
    """Move a batch up (negative) or down in the order of work; at the end it stays."""
    listed = list(in_order(tx.floor))
    at = next(i for i, other in enumerate(listed) if other.id == batch.id)
    listed.insert(min(max(at + by, 0), len(listed) - 1), listed.pop(at))
    store(tx, ORDER, " ".join(str(one.id) for one in listed))


def by_promise(tx: Transaction) -> None:
    """Work in the order of promise again."""
    forget(tx, ORDER)
