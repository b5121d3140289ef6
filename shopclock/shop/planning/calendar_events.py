"""The calendar as it was last written: what it told of each event, so that what is no longer so can be taken off it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import CalendarEvent


@dataclass(frozen=True, slots=True)
class EventTold:
    """An event as it was written: what it told, how often it had changed, whether it was taken off."""

    told: str
    sequence: int
    gone: bool


def told_before(floor: ShopFloor) -> dict[str, EventTold]:
    """Return what was written last, by the event's UID."""
    return {one.uid: EventTold(one.told, one.sequence, one.gone) for one in floor.all(CalendarEvent)}


def remember(tx: Transaction, written: Mapping[str, EventTold]) -> None:
    """Keep what has just been written; what is no longer in it is over, and forgotten."""
    known = {one.uid: one for one in tx.floor.all(CalendarEvent)}
    for uid, one in written.items():
        if uid not in known:
            tx.add(CalendarEvent(uid=uid, sequence=one.sequence, told=one.told, gone=one.gone))
        elif EventTold(known[uid].told, known[uid].sequence, known[uid].gone) != one:
            tx.change(replace(tx.current(known[uid]), sequence=one.sequence, told=one.told, gone=one.gone))
    for uid, event in known.items():
        if uid not in written:
            tx.drop(event)
