"""Another name for a thing of a list, or putting it away: the same question everywhere."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.setup.list_edit import put_away, rename
from shopclock.views.dialogs import Choice
from shopclock.views.page import on_answer

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.values.entities import Method, Reason, Stage, Tool

More = tuple["Choice", "Callable[[], object]"]
"""An answer of this list alone, and what it does."""


def rename_or_put_away(stack: PagedPresenter, thing: Method | Reason | Stage | Tool, more: Sequence[More] = ()) -> None:
    """Ask what to do with a thing: another name, put it away or bring it back, or one of `more`."""
    away = not thing.put_away
    acts: dict[str, Callable[[], object]] = {
        "name": lambda: ask_name(stack, thing),
        "away": lambda: set_away(stack, thing, away=away),
        **{choice.key: act for choice, act in more},
    }
    put = Choice("away", "Put away", "what was done with it stays") if away else Choice("away", "Bring back")
    choices = [Choice("name", "Another name", "it stays the same, with its history"), *(c for c, _ in more), put]
    stack.dialogs.ask(thing.name, choices, on_answer(lambda key: acts[key]()))


def ask_name(stack: PagedPresenter, thing: Method | Reason | Stage | Tool) -> None:
    """Ask for another name."""
    stack.dialogs.text(
        f"Another name for {thing.name}", thing.name, on_answer(lambda name: _rename(stack, thing, name))
    )


def _rename(stack: PagedPresenter, thing: Method | Reason | Stage | Tool, name: str) -> None:
    stack.do(f"Name: {name}", lambda tx: rename(tx, thing, name))


def set_away(stack: PagedPresenter, thing: Method | Reason | Stage | Tool, *, away: bool) -> None:
    """Put a thing away, or bring it back."""
    what = "Put away" if away else "Brought back"
    stack.do(f"{what}: {thing.name}", lambda tx: put_away(tx, thing, away=away))
