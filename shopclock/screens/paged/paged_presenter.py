"""Pages one on top of the other: what is open, what a press on it does, and the way back."""

from __future__ import annotations

from collections.abc import Generator
from itertools import count
from typing import TYPE_CHECKING, TypeVar

from shopclock.screens.base_presenter import DrawnPresenter
from shopclock.screens.paged.paper import NoPaper
from shopclock.shop.values.errors import ShopError
from shopclock.views.field import ask
from shopclock.views.page import Page, PageContent, PageState, TextLine

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.screens.paged.paper import Paper
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.views.dialogs import Dialogs

T = TypeVar("T")


class PagedPresenter(DrawnPresenter):
    """The presenter of a screen made of pages; the first page stays.

    The content of the page in sight is worked out once for each time that it is drawn: a press on it is looked up in
    what was drawn.
    """

    def __init__(self, record: Record, dialogs: Dialogs, go: ShowScreen) -> None:
        super().__init__(record, dialogs)
        self.go = go
        self.paper: Paper = NoPaper(dialogs)
        self._numbers = count()
        self._pages: list[tuple[int, Page]] = []
        self._drawn: PageContent | None = None
        record.on_change(self._forget)

    def _forget(self) -> None:
        """Content that was drawn is no longer what there is."""
        self._drawn = None

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

    def make(self, what: str, rule: Callable[[Transaction], T], then: Callable[[T], object]) -> object:
        """Do a press and go on with what it made, unless it was refused."""
        made = self.do(what, rule)
        return then(made) if made is not None else None

    def state(self) -> PageState:
        """The page in sight; where it can't be read, the sentence that says why."""
        try:
            page = self._drawn = self._top()
        except ShopError as error:
            page = PageContent(str(error))
        return PageState(
            page.title,
            tuple(TextLine(line) if isinstance(line, str) else line for line in page.lines),
            tuple(page.tiles),
            tuple(page.actions),
            page.body,
            page.route,
            page.day,
            page.bar_px,
            page.chart,
            page.text,
            tuple(page.rows),
            tuple(page.rules),
            page.room,
            tuple(number for number, _ in self._pages),
            self.undo_in_full,
            self.put_back_names,
        )

    def press(self, key: str, moment: Moment | None = None) -> None:
        """Do what a button of the page in sight offers; what is no longer offered does nothing."""
        with self.one_change():
            try:
                page = self._drawn if self._drawn is not None else self._top()
                offer = next((o for o in (*page.tiles, *page.actions) if o.key == key and o.enabled), None)
                if offer is not None:
                    self.go_on(offer.act(moment))
            except ShopError as error:
                self.dialogs.tell(str(error))

    def press_undo(self, moment: Moment | None = None) -> None:
        """Take back the newest press; asks where that starts a clock again that stood for a while."""
        with self.one_change():
            super().press_undo(moment)

    def press_put_back(self, moment: Moment | None = None) -> None:
        """Put back what Undo took back last."""
        with self.one_change():
            super().press_put_back(moment)

    def go_on(self, pressed: object) -> None:
        """Go on with what a press gave: a page is opened, questions are asked; anything else is done already."""
        if isinstance(pressed, Page):
            self.open(pressed)
        elif isinstance(pressed, Generator):
            ask(self.dialogs, pressed, self.go_on)

    def key_pressed(self, name: str) -> None:
        """Give a key to the page that waits for one."""
        self._pages[-1][1].key_pressed(name)

    def _top(self) -> PageContent:
        """Content of the page in sight; pages about what is no longer there are left."""
        while (content := self._pages[-1][1].content()) is None:
            self._pages.pop()
        return content
