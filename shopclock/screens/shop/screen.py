"""The Shop screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.screen import PagedScreen
from shopclock.screens.shop.pages.settings import OnScreen

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.shop.presenter import ShopPresenter
    from shopclock.shop.values.clock import Moment
    from shopclock.widgets.style import Style


class ShopScreen(PagedScreen):
    """Screen of Shop; it tells the presenter which screen a ruler would be held to."""

    def __init__(self, look: Style, presenter: ShopPresenter, now: Callable[[], Moment]) -> None:
        self._shop = presenter
        super().__init__(look, presenter, now)

    def refresh(self) -> None:
        """Draw the page in sight as the record is now."""
        sizes = self._look.sizes
        widest = sizes.width - 2 * sizes.margin
        self._shop.on_screen(OnScreen(self.screen().name(), sizes.px_mm, widest, self.window().isFullScreen()))
        super().refresh()
