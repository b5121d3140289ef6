"""Keys and pedals for the bench, given by pressing them once."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.shop.state.keys import actions, drop_key, key_for, said_of, set_key
from shopclock.views.page import Body, Page, PageContent, item

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter


def keys_page(stack: PagedPresenter) -> PageContent:
    """Acts that can have a key, and the key each has."""
    keys = {done: key_for(stack.floor, done) for done in actions(stack.floor)}
    return PageContent(
        "Keys and pedals",
        ["They work on every screen. A pedal that types a key counts as that key."],
        [
            item(done, said_of(done), partial(PressKeyPage, stack, done), detail=f"key {key.key}" if key else "no key")
            for done, key in keys.items()
        ],
    )


class PressKeyPage(Page):
    """Waits for the key that an action is to have."""

    def __init__(self, stack: PagedPresenter, done: str) -> None:
        self._stack = stack
        self._done = done

    def content(self) -> PageContent:
        """For what, how not to, and none."""
        had = key_for(self._stack.floor, self._done)
        return PageContent(
            f"A key for {said_of(self._done)}",
            ["Escape goes back and is no key for anything."],
            actions=[item("none", "No key", self._drop, why_not="" if had is not None else "It has none.")],
            body=Body.KEY,
        )

    def key_pressed(self, name: str) -> None:
        """Take this key."""
        if self._stack.do(f"Key: {name}", lambda tx: set_key(tx, self._done, name)) is not None:
            self._stack.back()

    def _drop(self) -> None:
        self._stack.do(f"No key: {said_of(self._done)}", lambda tx: drop_key(tx, self._done))
        self._stack.back()
