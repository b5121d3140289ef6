"""Asking for a length: in minutes, hours or days, then how many."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.routes.route_length import DAY_S, HOUR_S, LONGEST_S, MINUTE_S
from shopclock.views.dialogs import Choice
from shopclock.views.page import on_answer

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.views.dialogs import Dialogs

UNITS = {"minutes": MINUTE_S, "hours": HOUR_S, "days": DAY_S}


def ask_length(dialogs: Dialogs, question: str, then: Callable[[int], object]) -> None:
    """Ask for a length and go on with it in seconds; one that makes no sense is told and changes nothing."""
    choices = [Choice(unit, f"In {unit}") for unit in UNITS]
    dialogs.ask(question, choices, on_answer(lambda unit: _ask_count(dialogs, question, unit, then)))


def _ask_count(dialogs: Dialogs, question: str, unit: str, then: Callable[[int], object]) -> None:
    def take(typed: str) -> None:
        seconds = read_length(typed, unit)
        if seconds is None:
            dialogs.tell(f"{typed} {unit} is no length from a minute to a year. Nothing was changed.")
        else:
            then(seconds)

    dialogs.number(f"{question}, in {unit}", "", on_answer(take))


def read_length(typed: str, unit: str) -> int | None:
    """The seconds of a typed count of minutes, hours or days; nothing where it is none, or beyond a year."""
    try:
        seconds = round(float(typed) * UNITS[unit])
    except (ValueError, OverflowError):
        return None
    return seconds if MINUTE_S <= seconds <= LONGEST_S else None
