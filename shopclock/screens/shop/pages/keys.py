"""Keys and pedals for the bench, given by pressing them once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.state.keys import ACTIONS, drop_key, key_for, set_key
from shopclock.views.page import Body, Page, TextLine, action, calling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action


class KeysPage(Page):
    """What can have a key, and the key it has."""

    def __init__(self, stack: PagedPresenter) -> None:
        self._stack = stack

    def title(self) -> str:
        """What it is."""
        return "Keys and pedals"

    def lines(self) -> Sequence[TextLine]:
        """What a pedal is."""
        return (TextLine("They work at the bench. A pedal that types a key counts as that key."),)

    def offers(self) -> Sequence[Action]:
        """The actions."""
        return [self._offer(done) for done in ACTIONS]

    def _offer(self, done: str) -> Action:
        key = key_for(self._stack.floor, done)
        return action(
            done,
            ACTIONS[done],
            calling(lambda: self._stack.open(PressKeyPage(self._stack, done))),
            detail=f"key {key.key}" if key is not None else "no key",
        )


class PressKeyPage(Page):
    """Waits for the key that an action is to have."""

    body = Body.KEY

    def __init__(self, stack: PagedPresenter, action: str) -> None:
        self._stack = stack
        self._action = action

    def title(self) -> str:
        """For what."""
        return f"A key for {ACTIONS[self._action]}"

    def lines(self) -> Sequence[TextLine]:
        """How not to."""
        return (TextLine("Escape goes back and is no key for anything."),)

    def actions(self) -> Sequence[Action]:
        """None."""
        had = key_for(self._stack.floor, self._action)
        return [action("none", "No key", calling(self._drop), enabled=had is not None)]

    def key_pressed(self, name: str) -> None:
        """Take this key."""
        if self._stack.do(f"Key: {name}", lambda tx: set_key(tx, self._action, name)) is not None:
            self._stack.back()

    def _drop(self) -> None:
        self._stack.do(f"No key: {ACTIONS[self._action]}", lambda tx: drop_key(tx, self._action))
        self._stack.back()
