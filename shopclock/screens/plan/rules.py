"""Rules of days and of prices as pictures."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from shopclock.shop.state.wording import day_text
from shopclock.views.rule_picture import Reach, RuleMark, RulePicture

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from decimal import Decimal

    from shopclock.analysis.plan.plan_told import BatchDone, PlanTold
    from shopclock.analysis.plan.rules import DaysRule, PricesRule, PromisedDay
    from shopclock.views.chart_scale import Tick

BEYOND = 2.0
"""A promised day that is further off than so many times the last day told stands at the end of the rule."""
MARGIN = 0.06
"""Left free at either end of a rule, as a share of it."""
LEAST_DAYS = 14
MONTHS_FROM = 75
"""From so many days on the months are written along a rule, below that the Mondays."""


def short_day(day: date) -> str:
    """Say a day without its weekday: 18 Feb."""
    return day_text(day).split(" ", 1)[1]


def span_of(today: date, told: Iterable[date], promised: Iterable[date]) -> tuple[date, date]:
    """Return where a rule of days begins and ends: from today on, as far as what is told, and promised days nearby."""
    last = max([*told, today + timedelta(days=LEAST_DAYS)])
    far = today + BEYOND * (last - today)
    last = max([last, *(day for day in promised if day <= far)])
    return today, last + timedelta(days=max(1, round((last - today).days * MARGIN)))


def day_ticks(first: date, last: date) -> tuple[Tick, ...]:
    """Return the months between two days, or the Mondays where they are near, each at its ordinal."""
    days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    if len(days) >= MONTHS_FROM:
        return tuple(
            (float(day.toordinal()), day_text(day).rsplit(" ", 1)[1] + (f" {day.year}" if day.month == 1 else ""))
            for day in days
            if day.day == 1
        )
    return tuple((float(day.toordinal()), short_day(day)) for day in days if not day.weekday())


OVER, UNDER = 2, 2
"""Levels of words over and under a rule of days."""


def days_picture(told: DaysRule | None) -> RulePicture:
    """Return the rule of days of a promise: the day that is asked for or told first, how surely, who else waits."""
    if told is None:
        return RulePicture(over=OVER, under=UNDER)
    days, asked = told.days, told.wanted
    ends = [*(one.day for one in days), *([asked] if asked is not None else [])]
    first, last = span_of(told.today, ends, (one.day for one in told.promised))
    posts = [RuleMark(float(asked.toordinal()), f"asked: {short_day(asked)}", "text", strong=True)] if asked else []
    ordered = sorted(days, key=lambda one: not one.leads)
    posts += [
        RuleMark(
            float(one.day.toordinal()),
            f"{short_day(one.day)}, {one.words}",
            "text" if one.leads else "quiet",
            strong=one.leads and asked is None,
        )
        for one in ordered
    ]
    return RulePicture(
        float(first.toordinal()),
        float(last.toordinal()),
        day_ticks(first, last),
        reaches=_reaches([one.day for one in days], [one.leads for one in days]),
        posts=(*posts, RuleMark(float(first.toordinal()), "today", "text")),
        marks=tuple(promised_mark(one, first, last, one.words) for one in late_first(told.promised)),
        over=OVER,
        under=UNDER,
    )


def _reaches(days: list[date], leads: list[bool]) -> tuple[Reach, ...]:
    """Thick up to the day that leads, thin from there on."""
    at = [float(day.toordinal()) for day in days]
    lead = leads.index(True) if True in leads else 0
    pairs = [(0, lead, False), (lead, len(at) - 1, True)] if at else []
    return tuple(Reach(at[low], at[high], thin) for low, high, thin in pairs if high > low)


def late_first(promised: Iterable[PromisedDay]) -> list[PromisedDay]:
    """Return promised days, those that don't hold first: theirs are the words that matter most."""
    return sorted(promised, key=lambda one: (one.holds, one.day))


def promised_mark(one: PromisedDay, first: date, last: date, words: str) -> RuleMark:
    """Return the mark of a promised day: who, when, `words` for what is wrong. Beyond the rule it stands at its end."""
    where = min(max(one.day, first), last)
    beyond = " gone by" if one.day < first else " later on" if one.day > last else ""
    said = words and f": {words}"
    role = "green" if one.holds else "red"
    who = one.who.split(",")[0]
    return RuleMark(float(where.toordinal()), f"{who} {short_day(one.day)}{beyond}{said}", role)


def prices_picture(told: PricesRule | None, heading: str, money: Callable[[Decimal, str], str]) -> RulePicture:
    """Return the rule of prices: from where to where it pays, what is enough 8 times in 10, what is asked."""
    if told is None:
        return RulePicture(heading=heading)
    low, likely, high = (float(price) for price in (told.low, told.likely, told.high))
    asked = float(told.asked) if told.asked is not None else None
    least, most = min(low, asked or low), max(high, asked or high)
    room = 0.25 * max(most - least, 0.02 * most, 1.0)
    marks: tuple[RuleMark, ...] = ()
    if asked is not None and told.asked is not None:
        role, said = ("green", "") if asked >= likely else ("straw", "") if asked >= low else ("red", ": too low")
        marks = (RuleMark(asked, f"asked {money(told.asked, told.currency)}{said}", role),)
    return RulePicture(
        max(0.0, least - room),
        most + room,
        heading=heading,
        reaches=(Reach(low, likely), Reach(likely, high, thin=True)),
        posts=(RuleMark(likely, f"{money(told.likely, told.currency)} is enough 8 times in 10", "text", strong=True),),
        marks=marks,
    )


def plan_scale(told: PlanTold | None) -> RulePicture:
    """Return the scale that the batches of a plan have in common."""
    if told is None:
        return RulePicture()
    days = [day for one in told.batches for day in (one.day, one.other, one.surer) if day is not None]
    first, last = span_of(told.rule.today, days, (one.day for one in told.rule.promised))
    return RulePicture(
        float(first.toordinal()), float(last.toordinal()), day_ticks(first, last), f"from today, {day_text(first)}"
    )


def batch_rule(done: BatchDone | None, told: PlanTold | None, scale: RulePicture) -> RulePicture:
    """Return the rule of a batch: its range of days, and the promises that its pieces were given for."""
    if done is None or told is None or done.day is None:
        return RulePicture(scale.first, scale.last)
    days = sorted({day for day in (done.other, done.day, done.surer) if day is not None})
    first, last = date.fromordinal(int(scale.first)), date.fromordinal(int(scale.last))
    return RulePicture(
        scale.first,
        scale.last,
        reaches=_reaches(days, [day == done.day for day in days]),
        posts=(RuleMark(float(done.day.toordinal()), short_day(done.day), "text", strong=True),),
        marks=tuple(
            promised_mark(one, first, last, "" if one.holds else "late")
            for one in late_first(told.rule.promised)
            if done.batch_id in one.batches
        ),
    )
