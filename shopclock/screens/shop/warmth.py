"""Asking whether a wait follows the shop's warmth, and between which temperatures its makers let it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.shop.routes import cure
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind
from shopclock.views.dialogs import Choice
from shopclock.views.page import on_answer

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.shop.values.entities import RouteStep
    from shopclock.views.dialogs import Dialogs

    Then = Callable[[cure.Span], object]

FOLLOWS = "follows"
NO, YES = Choice("no", "No", "it lasts the same in any weather"), Choice(FOLLOWS, "Yes", "a cold shop cures slower")
LEAFLET = "Its length holds for 25 °C. The leaflet of the resin's makers decides: its hours and its limits go here."


def can_be_asked(step: RouteStep) -> bool:
    """Tell whether a step could follow the shop's warmth: a wait with no heat of its own."""
    return step.kind is Kind.WAIT and not step.setting


def span_said(step: RouteStep) -> str:
    """Say between which temperatures a step follows."""
    said = cure.span_text(step)
    return f"followed, {said} °C" if said else "not followed"


def ask_span(dialogs: Dialogs, step: RouteStep, then: Then) -> None:
    """Ask whether, from how cold and to how warm; go on with the step's fields."""

    def take(key: str) -> None:
        if key == FOLLOWS:
            _ask_coldest(dialogs, step, then)
        else:
            then(cure.Span(coldest_c=None, warmest_c=None))

    follows = cure.span(step) is not None
    choices = [replace(choice, checked=(choice is YES) is follows) for choice in (NO, YES)]
    dialogs.ask(f"Does {step.name} follow the shop's warmth", choices, on_answer(take))


def _ask_coldest(dialogs: Dialogs, step: RouteStep, then: Then) -> None:
    coldest_c, warmest_c = cure.span(step) or (cure.LOW_C, cure.HIGH_C)

    def warmest(coldest: str) -> None:
        question = "The warmest shop that its makers allow, °C or °F"
        dialogs.number(question, f"{warmest_c:g}", on_answer(lambda typed: _take(dialogs, coldest, typed, then)))

    dialogs.number("The coldest shop that its makers allow, °C or °F", f"{coldest_c:g}", on_answer(warmest))


def _take(dialogs: Dialogs, coldest: str, warmest: str, then: Then) -> None:
    try:
        found = cure.set_span(coldest, warmest)
    except Refusal as refused:
        dialogs.tell(str(refused))
        return
    then(found)
