"""The few things that can be done to an interval: open, end, split, let pieces go."""

from collections.abc import Collection, Iterable
from dataclasses import fields
from typing import Any

from shopclock.shop.floor import Floor
from shopclock.shop.kinds import Certainty, Kind
from shopclock.shop.order import order_of
from shopclock.shop.turn import Turn
from shopclock.shop.values import Interval, Step


def open_at(turn: Turn, start_us: int | None = None, **what: Any) -> Interval:
    """Begin an interval now, or at an instant given; `what` are its fields."""
    plain: dict[str, Any] = {
        "maker_id": turn.maker_id,
        "cause_step_id": None,
        "continues_id": None,
        "together": False,
        "shop_c": None,
        "load_id": None,
        "end_us": None,
        "start_sure": turn.sure,
        "end_sure": Certainty.PRESSED,
    }
    start = turn.now_us if start_us is None else start_us
    return turn.new(Interval, **(plain | what | {"start_us": start}))


def end(turn: Turn, interval: Interval) -> Interval:
    """End an interval now."""
    return turn.edit(interval, end_us=turn.now_us, end_sure=turn.sure)


def split(turn: Turn, interval: Interval, **changed: Any) -> Interval:
    """End an interval and begin another at the same instant with these fields changed.

    Where it has only just begun, it is changed in place: an interval of no length says nothing.
    """
    current = turn.floor.get(Interval, interval.id)
    if current.start_us == turn.now_us and not turn.floor.hands.done_in(current):
        return turn.edit(current, **changed)
    end(turn, current)
    kept = {f.name: getattr(current, f.name) for f in fields(current) if f.name not in _OWN}
    return open_at(turn, **(kept | {"continues_id": current.id} | changed))


_OWN = {"id", "uuid", "start_us", "end_us", "start_sure", "end_sure", "continues_id"}


def let_go(turn: Turn, pieces: Iterable[int], for_step: Step | None = None) -> None:
    """Take pieces out of whatever runs with them; what is left without pieces ends.

    With a step given, only out of what is in its way.
    """
    leaving = frozenset(pieces)
    for interval in list(turn.floor.running.values()):
        if leaving & set(interval.pieces) and _in_the_way(turn.floor, interval, for_step):
            left = tuple(p for p in interval.pieces if p not in leaving)
            if left:
                split(turn, interval, pieces=left)
            else:
                end(turn, interval)


def _in_the_way(floor: Floor, interval: Interval, step: Step | None) -> bool:
    return step is None or order_of(floor, step.batch_id).in_the_way(step, interval.step_id)


def by_hand(turn: Turn) -> list[Interval]:
    """Return what this maker runs by hand."""
    return attended(turn, (Kind.HANDS_ON,))


def attended(turn: Turn, kinds: Collection[Kind] = (Kind.HANDS_ON, Kind.WATCH)) -> list[Interval]:
    """Return what this maker runs by hand or stays by, oldest first."""
    return sorted(
        (i for i in turn.floor.running.values() if i.maker_id == turn.maker_id and i.kind in kinds),
        key=lambda i: (i.start_us, i.id),
    )
