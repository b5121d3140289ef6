"""Presenter of Shop, without a window."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.places import resource
from shopclock.screens.manual.chapters import chapters
from shopclock.screens.manual.pages import ManualPage, chapter_page, manual_page
from shopclock.screens.paged.described import DescribedPage
from shopclock.screens.paged.paged_presenter import PagedPresenter
from shopclock.screens.shop.pages.home import ShopHome
from shopclock.screens.shop.pages.patterns import copy_page
from shopclock.shop.setup.the_shop import Here

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.screens.shop.pages.settings import OnScreen, Window
    from shopclock.shop.routes.starter_route import StarterRoute
    from shopclock.views.dialogs import Dialogs
    from shopclock.views.page import Page


NOWHERE = Here()


class ShopPresenter(PagedPresenter):
    """The pages of Shop, beginning with what there is."""

    def __init__(
        self,
        record: Record,
        dialogs: Dialogs,
        starter_routes: Sequence[StarterRoute],
        go: ShowScreen,
        files: Mapping[tuple[str, str], Callable[[PagedPresenter], Page]] | None = None,
        here: Here = NOWHERE,
    ) -> None:
        super().__init__(record, dialogs, go)
        self._starter_routes = starter_routes
        self._home = ShopHome(self, starter_routes, files if files is not None else {}, here)
        self.open(self._home)

    def copy_a_route(self) -> None:
        """Bring the routes that can be copied in sight."""
        self.home()
        self.open(DescribedPage(self, partial(copy_page, starter_routes=self._starter_routes)))

    def show(self, *keys: str) -> None:
        """Bring the page behind a tile of the front in sight, and one behind a tile of that."""
        self.home()
        for key in keys:
            self.state()
            self.press(key)

    def open_manual(self, name: str) -> None:
        """Bring a chapter of the manual in sight; Back leads to all of them."""
        book = chapters(resource("manual"))
        self.home()
        self.open(ManualPage(self, partial(manual_page, chapters=book)))
        chapter = next((one for one in book if one.name == name), None)
        if chapter is not None:
            self.open(ManualPage(self, partial(chapter_page, chapter=chapter)))

    @property
    def reads_manual(self) -> bool:
        """Tell whether the page in sight is one of the manual."""
        return isinstance(self._pages[-1][1], ManualPage)

    def on_screen(self, screen: OnScreen) -> None:
        """Say which screen the window is on, and how."""
        self._home.on_screen = screen

    def in_window(self, window: Window) -> None:
        """Say which window it is that Shop is shown in."""
        self._home.window = window
