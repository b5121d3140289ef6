"""Draws Trends in all windows: `python -m tests.screens.trends.gallery FOLDER [SCREEN]`."""

from __future__ import annotations

import sys
import tempfile
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from shopclock.app import TABS
from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.trends.presenter import TrendsPresenter
from shopclock.screens.trends.screen import TrendsScreen
from shopclock.screens.trends.state import View
from shopclock.shop.values.entities import Stage
from shopclock.widgets.frame import Frame
from tests.screens.pictures import draw_all
from tests.screens.trends.test_sentences import passing
from tests.screens.trends.trend_shop import TrendShop

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.shop.figures.trend_rows import TrendRow
    from shopclock.widgets.style import Style


def all_stages(shop: TrendShop) -> list[TrendRow]:
    """Rows at every stage that pieces pass."""
    stages = [stage for stage in shop.record.floor.all(Stage) if not stage.shop_work]
    other = [
        shop.row(i, 3 + n * 1.7 + (i * 7 % 5) * 0.4, None, stage_id=stage.id)
        for n, stage in enumerate(stages)
        if stage.id != shop.bevels.id
        for i in range(n % 10 + 1)
    ]
    return [*other, *passing(shop)]


class Drawing:
    """One window, with rows that can be changed."""

    def __init__(self, look: Style, shop: TrendShop, folder: Path, stem: str) -> None:
        self.rows: Sequence[TrendRow] = all_stages(shop)
        self._folder, self._stem, self._shop = folder, stem, shop
        self._frame = Frame(look, TABS)
        presenter = TrendsPresenter(
            shop.record, self._frame.dialogs, (lambda: self.rows, list), lambda *_: None, AtOnce()
        )
        self.screen = TrendsScreen(look, presenter, folder)
        self._frame.resize(look.sizes.width, look.sizes.height)
        self._frame.set_page("trends", self.screen)
        self._frame.show()
        self._frame.show_page("trends")

    def grab(self, name: str) -> None:
        """Draw what is in sight."""
        QApplication.processEvents()
        self._frame.grab().save(str(self._folder / f"{self._stem}_{name}.png"))

    def walk(self) -> None:
        """Through the states of the screen."""
        presenter, shop = self.screen.presenter, self._shop
        self.screen.refresh()
        self.grab("stages")
        presenter.press_stage(str(shop.bevels.id))
        for view in (view for view in View if view is not View.SIZES):
            presenter.press_view(view)
            self.screen.refresh()
            self.grab(view.value)
        presenter.press_view(View.COUNT)
        for option in ("own", "pattern", "method"):
            presenter.press_option(option)
        presenter.press_point(f"{shop.batches[3].id}:{shop.freehand.id}:0")
        self.screen.refresh()
        self.grab("chosen")

    def rough(self) -> None:
        """Many methods, few batches, one, some left out, one out of the ordinary, with set-up, none."""
        shop, presenter = self._shop, self.screen.presenter
        told = shop.rows([16.0 + i % 3 * 0.2 for i in range(13)], None)
        told[7] = replace(told[7], run_us=2 * told[7].run_us)
        for name, rows in (
            ("crowd", shop.crowd()),
            ("few", shop.rows([12.0, 13.0, 14.0], None)),
            ("left_out", shop.two_methods()),
            ("told", told),
            ("sizes", shop.rows([16.0 + i % 3 * 0.2 for i in range(13)], None, setup_us=12 * 60_000_000)),
            ("none", []),
        ):
            self.rows = rows
            presenter.press_back()
            self.screen.refresh()
            if rows:
                presenter.press_stage(str(shop.bevels.id))
                presenter.press_view({"told": View.AFTER, "sizes": View.SIZES}.get(name, View.COUNT))
                self.screen.refresh()
            self.grab(name)
        self._frame.close()


def draw(shop: TrendShop, look: Style, folder: Path, stem: str) -> None:
    """Draw each state once."""
    drawing = Drawing(look, shop, folder, stem)
    drawing.walk()
    drawing.rough()


def main(folder: Path, screens: Sequence[str]) -> None:
    """Draw in these windows or in all."""
    with tempfile.TemporaryDirectory() as place:
        shop = TrendShop(Path(place), 26)
        draw_all(folder, partial(draw, shop), screens)
        shop.record.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
