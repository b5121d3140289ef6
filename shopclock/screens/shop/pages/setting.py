"""A setting as a tile: its name, what it is now, and a question with its choices."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from shopclock.shop.state import settings
from shopclock.views.dialogs import Choice
from shopclock.views.page import action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action

T = TypeVar("T", str, int)


def setting_offer(stack: PagedPresenter, title: str, spec: settings.Spec[T], said: Mapping[T, str]) -> Action:
    """Offer a setting's choices, each in the words of `said`."""
    now = settings.value(stack.floor, spec)
    choices = [Choice(str(value), said[value].capitalize(), checked=value == now) for value in spec.choices]

    def take(key: str) -> None:
        stack.do(title, lambda tx: settings.set_value(tx, spec, spec.read(key)))

    return action(
        spec.name,
        title,
        calling(lambda: stack.dialogs.ask(spec.help, choices, on_answer(take))),
        detail=said[now],
    )
