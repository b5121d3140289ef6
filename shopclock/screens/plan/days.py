"""Asking for a day: in so many weeks by one press, or a day typed and its month pressed."""

from __future__ import annotations

from datetime import date, timedelta
from functools import partial
from typing import TYPE_CHECKING

from shopclock.shop.state.wording import day_text
from shopclock.views.dialogs import COUNT, Choice
from shopclock.views.page import on_answer

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.views.dialogs import Dialogs

FEW = 3
"""So many tiles are wide enough in every window for a day written large."""
WEEKS = (2, 4, 6, 8, 12)
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
          "December")  # fmt: skip


def ask_day(dialogs: Dialogs, question: str, today: date, then: Callable[[date], object]) -> None:
    """Ask for a day from today on."""
    weeks = [Choice(str(n), f"In {n} weeks", day_text(today + timedelta(weeks=n))) for n in WEEKS]
    choices = [*weeks, Choice("other", "Another day")]
    dialogs.ask(question, choices, on_answer(partial(_answered, dialogs, today, then)))


def _answered(dialogs: Dialogs, today: date, then: Callable[[date], object], key: str) -> None:
    if key != "other":
        then(today + timedelta(weeks=int(key)))
        return
    dialogs.number(
        "Which day of the month", str(today.day), on_answer(partial(_month, dialogs, today, then)), signs=COUNT
    )


def _month(dialogs: Dialogs, today: date, then: Callable[[date], object], typed: str) -> None:
    """Offer the months to come in which that day lies ahead."""
    days = [day for n in range(13) if (day := _day_in(today, n, typed)) is not None and day >= today]
    if not days:
        dialogs.tell(f"{typed} is no day of a month. Nothing was changed.")
        return
    choices = [Choice(day.isoformat(), MONTHS[day.month - 1], f"{day_text(day)} {day.year}") for day in days[:12]]
    dialogs.ask("Which month", choices, on_answer(lambda key: then(date.fromisoformat(key))))


def _day_in(today: date, months_on: int, typed: str) -> date | None:
    """Return a day of a later month; nothing where that month has no such day."""
    years, month = divmod(today.month - 1 + months_on, 12)
    try:
        return date(today.year + years, month + 1, int(typed))
    except ValueError:
        return None
