"""Making what a page offers, in one line each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shopclock.screens.paged.page import Offer, Tile

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.paged.page import Act


def offer(key: str, title: str, act: Act, **look: Any) -> Offer:
    """A button with its title; `look` are the other fields of Tile."""
    return Offer(Tile(key, title, **look), act)


def calling(do: Callable[[], object]) -> Act:
    """A press that needs no moment."""
    return lambda _moment: void(do())


def void(_result: object) -> None:
    """Take a result that nobody needs."""


def on_answer(do: Callable[[str], object]) -> Callable[[str | None], None]:
    """What goes on with an answer; going back without one does nothing."""
    return lambda answer: void(do(answer)) if answer is not None else None
