"""The shop's week and its days off."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.plan.days import ask_day
from shopclock.shop.setup import week
from shopclock.shop.state.wording import day_text, length_text, shop_time, zone_of
from shopclock.shop.values.entities import DayOff, ShopHours
from shopclock.shop.values.errors import Refusal
from shopclock.shop.work.day import typed_time
from shopclock.views.dialogs import CLOCK, COUNT, Choice
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.plan.planning import Planning
    from shopclock.views.page import Action

MINUTE_US = 60_000_000


class HoursPage(Page):
    """Planned hours by day of the week, then days off."""

    def __init__(self, stack: Planning) -> None:
        self._stack = stack

    def title(self) -> str:
        """How many hours a week."""
        minutes = week.week_minutes(self._stack.floor)
        return f"{length_text(minutes * MINUTE_US)} a week are planned" if minutes else "No hours are planned yet"

    def lines(self) -> Sequence[TextLine]:
        """What they are good for."""
        return (TextLine("Dates rest on these hours, and on how much of them became work in the last twelve weeks."),)

    def offers(self) -> Sequence[Action]:
        """The stretches of the week, and the days off to come."""
        floor = self._stack.floor
        off = sorted(floor.all(DayOff), key=lambda one: one.first)
        return [*map(self._hours, week.week(floor)), *map(self._off, off)]

    def _hours(self, hours: ShopHours) -> Action:
        act = calling(partial(self._ask_drop, hours))
        return action(
            f"hours {hours.id}",
            week.WEEKDAYS[hours.weekday],
            act,
            detail=f"{week.clock(hours.from_min)} to {week.clock(hours.to_min)}",
        )

    def _off(self, off: DayOff) -> Action:
        first, last = (day_text(date.fromisoformat(day)) for day in (off.first, off.last))
        said = first if first == last else f"{first} to {last}"
        return action(
            f"off {off.id}", said, calling(partial(self._drop_off, off)), detail=off.why or "off", role="raised"
        )

    def actions(self) -> Sequence[Action]:
        """More of both."""
        return [
            action("add", "Add hours", calling(self._ask_weekday), role="primary"),
            action("off", "Add days off", calling(self._ask_off), role="raised"),
        ]

    def _ask_weekday(self) -> None:
        choices = [Choice(str(i), day) for i, day in enumerate(week.WEEKDAYS)]
        self._stack.dialogs.ask("On which day", choices, on_answer(lambda key: self._ask_from(int(key))))

    def _ask_from(self, weekday: int) -> None:
        go_on = on_answer(partial(self._ask_to, weekday))
        self._stack.dialogs.number(f"{week.WEEKDAYS[weekday]} from", "19:00", go_on, signs=CLOCK)

    def _ask_to(self, weekday: int, start: str) -> None:
        from_min = minute(start)
        go_on = on_answer(partial(self._add, weekday, from_min))
        self._stack.dialogs.number(f"{week.WEEKDAYS[weekday]} until", "21:00", go_on, signs=CLOCK)

    def _add(self, weekday: int, from_min: int, end: str) -> None:
        to_min = minute(end)
        self._stack.do(f"Hours on {week.WEEKDAYS[weekday]}", lambda tx: week.add_hours(tx, weekday, from_min, to_min))

    def _ask_drop(self, hours: ShopHours) -> None:
        choices = (Choice("drop", "Take them out"),)
        question = f"{week.WEEKDAYS[hours.weekday]} {week.clock(hours.from_min)} to {week.clock(hours.to_min)}"
        self._stack.dialogs.ask(question, choices, on_answer(lambda _key: self._drop(hours)))

    def _drop(self, hours: ShopHours) -> None:
        self._stack.do(f"No hours on {week.WEEKDAYS[hours.weekday]}", lambda tx: week.drop_hours(tx, hours))

    def _drop_off(self, off: DayOff) -> None:
        self._stack.do("Not off after all", lambda tx: week.drop_day_off(tx, off))

    def _ask_off(self) -> None:
        ask_day(self._stack.dialogs, "First day off", self._today(), self._ask_last)

    def _ask_last(self, first: date) -> None:
        self._stack.dialogs.number("How many days off", "1", on_answer(partial(self._add_off, first)), signs=COUNT)

    def _add_off(self, first: date, typed: str) -> None:
        if not (typed.isdecimal() and 1 <= int(typed) <= 366):
            raise Refusal(f"{typed} is no number of days from 1 to 366. Nothing was changed.")
        last = date.fromordinal(first.toordinal() + int(typed) - 1)
        self._stack.do(f"Off from {day_text(first)}", lambda tx: week.add_day_off(tx, first, last))

    def _today(self) -> date:
        return shop_time(self._stack.record.instant(), zone_of(self._stack.floor)).date()


def minute(typed: str) -> int:
    """Return the minute of a day for a typed time; 24:00 is its end. Refused where it is none."""
    if typed in ("24", "24:00", "2400"):
        return week.DAY_MIN
    at = typed_time(typed)
    return at.hour * 60 + at.minute
