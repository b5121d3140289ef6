"""The shop's week and its days off."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from shopclock.screens.plan.asking import ask_day, ask_hours, ask_number
from shopclock.shop.planning.quiet_weeks import QuietAnswer, answer_quiet, answered_weeks, quiet_weeks, take_back
from shopclock.shop.setup import week
from shopclock.shop.state.wording import day_text, length_text
from shopclock.shop.values.entities import DayOff, GapAnswer, ShopHours
from shopclock.shop.work.makers import first_maker, makers, name_of_maker, several
from shopclock.views.dialogs import Choice
from shopclock.views.field import Pick, choose, field
from shopclock.views.page import PageContent, item, nothing_yet

if TYPE_CHECKING:
    from shopclock.screens.plan.planning import Planning
    from shopclock.shop.planning.quiet_weeks import QuietWeeks
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

MINUTE_US = 60_000_000


def hours_page(stack: Planning) -> PageContent:
    """Planned hours by day of the week, then days off."""
    floor, minutes = stack.floor, week.week_minutes(stack.floor)
    off = sorted(floor.all(DayOff), key=lambda one: one.first)
    add = item("add", "Add hours", lambda: _add(stack), role="primary")
    days_off = item("off", "Add days off", lambda: _add_off(stack), role="raised")
    rest = "Dates rest on these hours, and on how much of them became work in the last twelve weeks."
    tiles = [
        *(_hours(stack, hours) for maker in makers(floor) for hours in week.hours_of(floor, maker.id)),
        *(_off(stack, one) for one in off),
        *(_quiet(stack, weeks) for weeks in quiet_weeks(floor, stack.any_work, stack.record.instant())),
        *(_answered(stack, answer) for answer in answered_weeks(floor)),
    ]
    if not tiles:
        return nothing_yet("No hours are planned yet", rest, add, [days_off])
    return PageContent(
        f"{length_text(minutes * MINUTE_US)} a week are planned" if minutes else "No hours are planned yet",
        [rest, *_left_out(stack)],
        tiles,
        [add, days_off],
    )


def _left_out(stack: Planning) -> list[str]:
    """Say who has no hours, where there are several makers: the plan leaves those out."""
    planned = {maker.id for maker in week.planned_makers(stack.floor)}
    without = [m.name for m in makers(stack.floor) if m.id not in planned]
    return [f"The plan leaves out who has no hours: {', '.join(without)}."] if without else []


def _hours(stack: Planning, hours: ShopHours) -> Action:
    whose = name_of_maker(stack.floor, hours.maker_id or first_maker(stack.floor)) if several(stack.floor) else ""
    day, span = week.WEEKDAYS[hours.weekday], f"{week.clock(hours.from_min)} to {week.clock(hours.to_min)}"

    def drop(_key: str) -> None:
        stack.do(f"No hours on {day}", lambda tx: week.drop_hours(tx, hours))

    said = f"{whose}: {span}" if whose else span
    return field(f"hours {hours.id}", day, said, Pick(f"{day} {span}", (Choice("drop", "Take them out"),)), drop)


def _off(stack: Planning, off: DayOff) -> Action:
    def drop() -> None:
        stack.do("Not off after all", lambda tx: week.drop_day_off(tx, off))

    days = dict.fromkeys(day_text(date.fromisoformat(day)) for day in (off.first, off.last))
    return item(f"off {off.id}", " to ".join(days), drop, detail=off.why or "off", role="raised")


def _quiet(stack: Planning, weeks: QuietWeeks) -> Action:
    """Weeks in which nothing was timed: a press asks what they were."""

    def answer(key: str) -> None:
        said = QuietAnswer(key)
        stack.do(f"{weeks.said}: {said}", lambda tx: answer_quiet(tx, weeks, said))

    question = f"Did you work from {weeks.said}"
    choices = tuple(Choice(answer, answer) for answer in QuietAnswer)
    return field(f"quiet {weeks.first}", weeks.said, "nothing timed: did you work?", Pick(question, choices), answer)


def _answered(stack: Planning, answer: GapAnswer) -> Action:
    """An answer about such weeks; a press leaves it open again."""

    def back() -> None:
        stack.do("Not answered after all", lambda tx: take_back(tx, answer))

    days = " to ".join(day_text(date.fromisoformat(day)) for day in (answer.first, answer.last))
    detail = "nothing was done" if answer.free else "worked, not timed"
    return item(f"answered {answer.id}", days, back, detail=detail, role="raised")


def _add(stack: Planning) -> Asking[None]:
    there, whose = makers(stack.floor), None
    if len(there) > 1:
        whose = yield from choose("Whose hours", [(Choice(str(m.id), m.name), m.id) for m in there])
    hours = yield from ask_hours()
    own = None if whose == first_maker(stack.floor) else whose
    stack.do(f"Hours on {week.WEEKDAYS[hours[0]]}", lambda tx: week.add_hours(tx, *hours, own))


def _add_off(stack: Planning) -> Asking[None]:
    first = yield from ask_day("First day off", stack.today)
    n = yield from ask_number("How many days off", 1, 366, " of days")
    last = date.fromordinal(first.toordinal() + n - 1)
    stack.do(f"Off from {day_text(first)}", lambda tx: week.add_day_off(tx, first, last))
