"""The few things that can be done to what runs: end, split, let pieces go."""

from collections.abc import Collection, Iterable
from dataclasses import replace

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Interval, Step
from shopclock.shop.values.kinds import Certainty, Kind
from shopclock.shop.work.step_order import order_of


def end(tx: Transaction, interval: Interval) -> Interval:
    """End an interval now."""
    return tx.change(replace(tx.current(interval), end_us=tx.now_us, end_sure=tx.sure))


def split(tx: Transaction, changed: Interval) -> Interval:
    """End an interval and go on as this from the same instant on.

    Where it has only just begun, it is changed in place: an interval of no length says nothing.
    """
    current = tx.current(changed)
    if current.start_us == tx.now_us and not tx.floor.hands.done_in(current):
        return tx.change(changed)
    end(tx, current)
    return tx.add(
        replace(
            changed,
            start_us=tx.now_us,
            start_sure=tx.sure,
            end_us=None,
            end_sure=Certainty.PRESSED,
            continues_id=current.id,
        )
    )


def let_go(tx: Transaction, pieces: Iterable[int], for_step: Step | None = None) -> None:
    """Take pieces out of whatever runs with them; what is left without pieces ends.

    With a step given, only out of what is in its way.
    """
    leaving = frozenset(pieces)
    for interval in list(tx.floor.running.values()):
        if leaving & set(interval.pieces) and _in_the_way(tx.floor, interval, for_step):
            left = tuple(p for p in interval.pieces if p not in leaving)
            if left:
                split(tx, replace(interval, pieces=left))
            else:
                end(tx, interval)


def _in_the_way(floor: ShopFloor, interval: Interval, step: Step | None) -> bool:
    return step is None or order_of(floor, step.batch_id).in_the_way(step, interval.step_id)


def by_hand(tx: Transaction) -> list[Interval]:
    """Return what this maker runs by hand."""
    return attended(tx, (Kind.HANDS_ON,))


def attended(tx: Transaction, kinds: Collection[Kind] = (Kind.HANDS_ON, Kind.WATCH)) -> list[Interval]:
    """Return what this maker runs by hand or stays by, oldest first."""
    return sorted(
        (i for i in tx.floor.running.values() if i.maker_id == tx.maker_id and i.kind in kinds),
        key=lambda i: (i.start_us, i.id),
    )
