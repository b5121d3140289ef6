"""A setting as a tile: its name, what it is now, and a question with its choices."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from shopclock.screens.paged.offers import calling, offer, on_answer
from shopclock.shop import settings
from shopclock.widgets.dialogs import Choice

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shopclock.screens.paged.page import Offer
    from shopclock.screens.paged.stack import PageStack

T = TypeVar("T", str, int)


def setting_offer(stack: PageStack, title: str, spec: settings.Spec[T], said: Mapping[T, str]) -> Offer:
    """Offer a setting's choices, each in the words of `said`."""
    now = settings.value(stack.floor, spec)
    choices = [Choice(str(value), said[value].capitalize(), checked=value == now) for value in spec.choices]

    def take(key: str) -> None:
        stack.do(title, lambda turn: settings.set_value(turn, spec, spec.read(key)))

    return offer(
        spec.name,
        title,
        calling(lambda: stack.dialogs.ask(spec.help, choices, on_answer(take))),
        detail=said[now],
    )
