"""Weeks in which a batch was open and nothing was timed: who was asked about them says what they were."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from shopclock.shop.setup.week import add_day_off, planned_makers, planned_on
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.state.wording import day_text, instant_of, shop_time, zone_of
from shopclock.shop.values.entities import Batch, DayOff, GapAnswer

LOOK_BACK = 12
"""Full weeks before this one that are asked about: those that dates rest on."""


def monday_of(at_us: int, zone: ZoneInfo) -> date:
    """Return the Monday of the week that an instant lies in, on the shop's wall."""
    day = shop_time(at_us, zone).date()
    return day - timedelta(days=day.weekday())


def week_span(monday: date, zone: ZoneInfo) -> tuple[int, int]:
    """Return the instants at which a week begins and the next one does."""
    first, after = (instant_of(datetime.combine(day, time(), zone)) for day in (monday, monday + timedelta(days=7)))
    return first, after


def was_open(floor: ShopFloor, monday: date, zone: ZoneInfo) -> bool:
    """Tell whether some batch was open all through a week."""
    start, end = week_span(monday, zone)
    return any(b.started_us <= start and (b.closed_us is None or b.closed_us >= end) for b in floor.all(Batch))


def planned_us(floor: ShopFloor, monday: date, zone: ZoneInfo) -> int:
    """Return the planned time of a week, of all makers who have hours."""
    days = [monday + timedelta(days=i) for i in range(7)]
    makers = planned_makers(floor)
    return sum(end - start for day in days for maker in makers for start, end in planned_on(floor, day, zone, maker.id))


def untimed(floor: ShopFloor, monday: date) -> bool:
    """Tell whether work went on in a week without being timed, as the maker said: how much of it, nobody knows."""
    answer = _answer(floor, monday)
    return answer is not None and not answer.free


def _answer(floor: ShopFloor, monday: date) -> GapAnswer | None:
    first = monday.isoformat()
    return next((one for one in floor.all(GapAnswer) if one.first <= first <= one.last), None)


@dataclass(frozen=True, slots=True)
class QuietWeeks:
    """Neighbouring weeks without a timed minute, from a Monday to a Sunday."""

    first: date
    last: date

    @property
    def said(self) -> str:
        """Days of these weeks: Mon 2 Nov to Sun 15 Nov."""
        return f"{day_text(self.first)} to {day_text(self.last)}"


def quiet_weeks(floor: ShopFloor, worked: Callable[[int, int], bool], now_us: int) -> tuple[QuietWeeks, ...]:
    """Return the quiet weeks that nobody has answered for, the newest first.

    `worked` tells whether anything was timed from one instant to another.
    """
    zone = zone_of(floor)
    this = monday_of(now_us, zone)
    found: list[QuietWeeks] = []
    for n in range(1, LOOK_BACK + 1):
        monday = this - timedelta(days=7 * n)
        if not was_open(floor, monday, zone) or not planned_us(floor, monday, zone) or _answer(floor, monday):
            continue
        if worked(*week_span(monday, zone)):
            continue
        if found and found[-1].first == monday + timedelta(days=7):
            found[-1] = QuietWeeks(monday, found[-1].last)
        else:
            found.append(QuietWeeks(monday, monday + timedelta(days=6)))
    return tuple(found)


def answered_weeks(floor: ShopFloor) -> tuple[GapAnswer, ...]:
    """Return what was said of quiet weeks, by their days; days off stand among the others."""
    return tuple(sorted(floor.all(GapAnswer), key=lambda one: one.first))


def take_back(tx: Transaction, answer: GapAnswer) -> None:
    """Leave it open again what quiet weeks were."""
    tx.drop(answer)


class QuietAnswer(StrEnum):
    """Answer to whether there was work in quiet weeks, as it is said."""

    UNTIMED = "Yes, not timed"
    NOTHING = "No"
    OFF = "Days off"


def answer_quiet(tx: Transaction, weeks: QuietWeeks, answer: QuietAnswer) -> GapAnswer | DayOff:
    """Say what quiet weeks were, all of them at once.

    Nothing done counts as that; work that was not timed, and days off, say nothing of how planned time becomes work.
    """
    if answer is QuietAnswer.OFF:
        return add_day_off(tx, weeks.first, weeks.last)
    free = answer is QuietAnswer.NOTHING
    return tx.add(GapAnswer(first=weeks.first.isoformat(), last=weeks.last.isoformat(), free=free))
