"""Pages one on top of the other: what is open, what a press on it does, and the way back."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING, Protocol, TypeVar

from shopclock.screens.base_presenter import BasePresenter
from shopclock.screens.paged.paper import NoPaper
from shopclock.shop.values.errors import ShopError
from shopclock.views.page import PageState

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.record.press.record import Record
    from shopclock.screens.paged.paper import Paper
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.views.button import Button
    from shopclock.views.dialogs import Dialogs
    from shopclock.views.page import Action, Page

T = TypeVar("T")


class ShowScreen(Protocol):
    """Brings another screen in sight, at a batch if one is named."""

    def __call__(self, tab_key: str, batch_id: int | None = None) -> None:
        """Show the screen of this tab."""


class PagedPresenter(BasePresenter):
    """The presenter of a screen made of pages; the first page stays."""

    def __init__(self, record: Record, dialogs: Dialogs, go: ShowScreen) -> None:
        super().__init__(record, dialogs)
        self.go = go
        self.paper: Paper = NoPaper(dialogs)
        self._numbers = count()
        self._pages: list[tuple[int, Page]] = []
        self._changed: list[Callable[[], None]] = []

    def on_change(self, listener: Callable[[], None]) -> None:
        """Call this when another page is open, or when a page has changed by itself."""
        self._changed.append(listener)

    def changed(self) -> None:
        """Tell that the page in sight is to be drawn again."""
        for listener in self._changed:
            listener()

    def open(self, page: Page) -> None:
        """Put a page on top."""
        self._pages.append((next(self._numbers), page))
        self.changed()

    def back(self) -> bool:
        """Leave the page on top; tells whether there was one to leave."""
        if len(self._pages) < 2:
            return False
        self._pages.pop()
        self.changed()
        return True

    def home(self) -> None:
        """Leave all pages but the first."""
        del self._pages[1:]
        self.changed()

    def do(self, what: str, rule: Callable[[Transaction], T], moment: Moment | None = None) -> T | None:
        """Do a press for a page; `what` is the name that Undo gives it. Nothing when it was refused."""
        return self._press(what, rule, moment)

    def state(self) -> PageState:
        """The page in sight; where it can't be read, the sentence that says why."""
        page = self._top()
        try:
            return self._state_of(page)
        except ShopError as error:
            return PageState(self._trail(), str(error), (), (), (), page.body, None, None, None, self.undo_names)

    def _trail(self) -> tuple[int, ...]:
        return tuple(number for number, _ in self._pages)

    def _state_of(self, page: Page) -> PageState:
        bar = page.bar()
        return PageState(
            trail=self._trail(),
            title=page.title(),
            lines=tuple(page.lines()),
            tiles=_tiles(page.offers()),
            actions=_tiles(page.actions()),
            body=page.body,
            route=page.route(),
            bar_mm=bar[0] if bar else None,
            bar_px=bar[1] if bar else None,
            undo=self.undo_names,
            day=page.day_line(),
            chart=page.chart(),
            text=page.text(),
            rows=tuple(page.rows()),
        )

    def press(self, key: str, moment: Moment | None = None) -> None:
        """Do what a button of the page in sight offers; what is no longer offered does nothing."""
        page = self._top()
        try:
            for offer in (*page.offers(), *page.actions()):
                if offer.tile.key == key and offer.tile.enabled:
                    offer.act(moment)
                    return
        except ShopError as error:
            self.dialogs.tell(str(error))

    def key_pressed(self, name: str) -> None:
        """Give a key to the page that waits for one."""
        self._top().key_pressed(name)

    def _top(self) -> Page:
        while len(self._pages) > 1 and self._pages[-1][1].gone():
            self._pages.pop()
        return self._pages[-1][1]


def _tiles(offers: Sequence[Action]) -> tuple[Button, ...]:
    return tuple(offer.tile for offer in offers)
