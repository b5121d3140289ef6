"""Keys and pedals for the bench, given by pressing them once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.offers import calling, offer
from shopclock.screens.paged.page import Body, Line, Page
from shopclock.shop.keys import ACTIONS, drop_key, key_for, set_key

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.page import Offer
    from shopclock.screens.paged.stack import PageStack


class KeysPage(Page):
    """What can have a key, and the key it has."""

    def __init__(self, stack: PageStack) -> None:
        self._stack = stack

    def title(self) -> str:
        """What it is."""
        return "Keys and pedals"

    def lines(self) -> Sequence[Line]:
        """What a pedal is."""
        return (Line("They work at the bench. A pedal that types a key counts as that key."),)

    def offers(self) -> Sequence[Offer]:
        """The actions."""
        return [self._offer(done) for done in ACTIONS]

    def _offer(self, done: str) -> Offer:
        key = key_for(self._stack.floor, done)
        return offer(
            done,
            ACTIONS[done],
            calling(lambda: self._stack.open(PressKeyPage(self._stack, done))),
            detail=f"key {key.key}" if key is not None else "no key",
        )


class PressKeyPage(Page):
    """Waits for the key that an action is to have."""

    body = Body.KEY

    def __init__(self, stack: PageStack, action: str) -> None:
        self._stack = stack
        self._action = action

    def title(self) -> str:
        """For what."""
        return f"A key for {ACTIONS[self._action]}"

    def lines(self) -> Sequence[Line]:
        """How not to."""
        return (Line("Escape goes back and is no key for anything."),)

    def actions(self) -> Sequence[Offer]:
        """None."""
        had = key_for(self._stack.floor, self._action)
        return [offer("none", "No key", calling(self._drop), enabled=had is not None)]

    def key_pressed(self, name: str) -> None:
        """Take this key."""
        if self._stack.do(f"Key: {name}", lambda turn: set_key(turn, self._action, name)) is not None:
            self._stack.back()

    def _drop(self) -> None:
        self._stack.do(f"No key: {ACTIONS[self._action]}", lambda turn: drop_key(turn, self._action))
        self._stack.back()
