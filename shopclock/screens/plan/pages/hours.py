"""The shop's week and its days off."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from shopclock.screens.plan.asking import ask_day, ask_hours, ask_number
from shopclock.shop.setup import week
from shopclock.shop.state.wording import day_text, length_text
from shopclock.shop.values.entities import DayOff, ShopHours
from shopclock.views.dialogs import Choice
from shopclock.views.field import Pick, field
from shopclock.views.page import PageContent, item

if TYPE_CHECKING:
    from shopclock.screens.plan.planning import Planning
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

MINUTE_US = 60_000_000


def hours_page(stack: Planning) -> PageContent:
    """Planned hours by day of the week, then days off."""
    floor, minutes = stack.floor, week.week_minutes(stack.floor)
    off = sorted(floor.all(DayOff), key=lambda one: one.first)
    return PageContent(
        f"{length_text(minutes * MINUTE_US)} a week are planned" if minutes else "No hours are planned yet",
        ["Dates rest on these hours, and on how much of them became work in the last twelve weeks."],
        [*(_hours(stack, hours) for hours in week.week(floor)), *(_off(stack, one) for one in off)],
        [
            item("add", "Add hours", lambda: _add(stack), role="primary"),
            item("off", "Add days off", lambda: _add_off(stack), role="raised"),
        ],
    )


def _hours(stack: Planning, hours: ShopHours) -> Action:
    day, span = week.WEEKDAYS[hours.weekday], f"{week.clock(hours.from_min)} to {week.clock(hours.to_min)}"

    def drop(_key: str) -> None:
        stack.do(f"No hours on {day}", lambda tx: week.drop_hours(tx, hours))

    return field(f"hours {hours.id}", day, span, Pick(f"{day} {span}", (Choice("drop", "Take them out"),)), drop)


def _off(stack: Planning, off: DayOff) -> Action:
    def drop() -> None:
        stack.do("Not off after all", lambda tx: week.drop_day_off(tx, off))

    days = dict.fromkeys(day_text(date.fromisoformat(day)) for day in (off.first, off.last))
    return item(f"off {off.id}", " to ".join(days), drop, detail=off.why or "off", role="raised")


def _add(stack: Planning) -> Asking[None]:
    hours = yield from ask_hours()
    stack.do(f"Hours on {week.WEEKDAYS[hours[0]]}", lambda tx: week.add_hours(tx, *hours))


def _add_off(stack: Planning) -> Asking[None]:
    first = yield from ask_day("First day off", stack.today)
    n = yield from ask_number("How many days off", 1, 366, " of days")
    last = date.fromordinal(first.toordinal() + n - 1)
    stack.do(f"Off from {day_text(first)}", lambda tx: week.add_day_off(tx, first, last))
