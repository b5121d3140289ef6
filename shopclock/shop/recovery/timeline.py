"""Time line: from what the clocks say to the instant that is stored, and moving a boot's instants together."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from shopclock.shop.state.fold import Move
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.clock import Moment
from shopclock.shop.values.entities import ImportRow, Interval, Question
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.instants import INSTANTS
from shopclock.shop.values.kinds import Certainty

APART_US = 2_000_000
"""So far a clock can stray without anybody having set it."""
DRIFT = 10_000
"""A steady clock strays by less than one part in so many (100 ppm; quartz clocks stay under half of it)."""


@dataclass(frozen=True, slots=True)
class Anchor:
    """Ties one boot to UTC: instant = utc_us + boot time. `last_us` is the newest entry."""

    boot_id: str
    utc_us: int
    last_us: int


def anchor_for(moment: Moment, last: Anchor | None) -> Anchor:
    """Return the anchor that holds at this moment.

    Within one boot the first anchor holds, so that lengths follow the steady clock. A new boot
    is tied to its wall clock, but never behind the last entry: a flat battery doesn't refuse
    a press, the record goes on from where it was.
    """
    if last is not None and last.boot_id == moment.boot_id:
        return last
    newest = last.last_us if last is not None else 0
    utc = max(moment.wall_us, newest) - moment.boot_us
    return Anchor(moment.boot_id, utc, newest)


def instant(moment: Moment, anchor: Anchor) -> int:
    """Return the UTC instant of a moment in microseconds, never before the newest entry."""
    return max(anchor.utc_us + moment.boot_us, anchor.last_us)


def behind_us(moment: Moment, last: Anchor | None) -> int:
    """Return how far a new boot's wall clock is behind the last entry; 0 where it isn't, or within the boot."""
    if last is None or last.boot_id == moment.boot_id:
        return 0
    behind = last.last_us - moment.wall_us
    return behind if behind > APART_US else 0


@dataclass(frozen=True, slots=True)
class Passed:
    """Time passed between two moments of one boot: by how much the wall was set, and sleep."""

    set_us: int = 0
    slept_us: int = 0


def passed(before: Moment, after: Moment) -> Passed:
    """Compare the three clocks; changes too small to tell from their straying are none.

    All three going on together is just time, even if this program stood still meanwhile.
    """
    if before.boot_id != after.boot_id:
        return Passed()
    wall, boot = after.wall_us - before.wall_us, after.boot_us - before.boot_us
    awake = after.awake_us - before.awake_us
    limit = APART_US + abs(boot) // DRIFT
    set_us, slept_us = wall - boot, boot - awake
    return Passed(set_us if abs(set_us) > limit else 0, slept_us if slept_us > limit else 0)


class ClockWatch:
    """Compares each moment with the one before. It is asked at every tick; ticks may fail to come."""

    def __init__(self, moment: Moment) -> None:
        self._last = moment

    def look(self, moment: Moment) -> Passed:
        """Return what has happened to the clocks since the last look."""
        found, self._last = passed(self._last, moment), moment
        return found


def moved(anchor: Anchor, by_us: int) -> Anchor:
    """Return the anchor of a boot whose instants have all moved."""
    return replace(anchor, utc_us=anchor.utc_us + by_us, last_us=anchor.last_us + by_us)


def move(tx: Transaction, moved: Move) -> None:
    """Move every instant on the floor that moves, so that lengths between them stay as they are.

    Another bench has its own clock: what was made there stays.
    """
    for kind in INSTANTS:
        for thing in filter(tx.floor.made_here, tx.floor.all(kind)):
            if thing.id > 0:  # a part cut off for another bench's work follows its whole
                tx.change(moved.of(thing))


def refuse_future(tx: Transaction) -> None:
    """Refuse what would lie after now: a clock that is set back again after the machine was started anew."""
    for thing in (change.after for change in tx.changes if change.after is not None):
        if any((getattr(thing, name) or 0) > tx.now_us for name in INSTANTS.get(type(thing), ())):
            raise Refusal(TO_COME)


TO_COME = "Some of that would lie in the time to come then. Nothing was changed."


def instants(floor: ShopFloor) -> Iterator[int]:
    """Yield every instant on the floor."""
    for kind, names in INSTANTS.items():
        for thing in filter(floor.made_here, floor.all(kind)):
            yield from (us for name in names if (us := getattr(thing, name)) is not None)


def no_longer_guessed(tx: Transaction, from_us: int) -> None:
    """Take the ends from an instant on for pressed that were estimated only because the clock was behind."""
    told = _ended_by_answers(tx) | _out_of_notes(tx)
    for interval in tx.floor.all(Interval):
        if interval.id not in told and tx.floor.made_here(interval):
            tx.change(_sure_again(interval, from_us))


def _ended_by_answers(tx: Transaction) -> set[int]:
    about = {q.about_id for q in tx.floor.all(Question) if q.answer in ("stopped", "other step")}
    return {i.id for i in tx.floor.all(Interval) if {i.id, i.continues_id} & about}


def _out_of_notes(tx: Transaction) -> set[int]:
    """Return the stretches that were guessed by laying old notes into their day: no clock tells more of them."""
    return {row.interval_id for row in tx.floor.all(ImportRow)}


def _sure_again(interval: Interval, from_us: int) -> Interval:
    def sure(certainty: Certainty, at_us: int | None) -> Certainty:
        guessed = certainty is Certainty.ESTIMATED and at_us is not None and at_us >= from_us
        return Certainty.PRESSED if guessed else certainty

    start_sure, end_sure = sure(interval.start_sure, interval.start_us), sure(interval.end_sure, interval.end_us)
    return replace(interval, start_sure=start_sure, end_sure=end_sure)
