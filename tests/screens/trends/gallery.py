"""Draws Trends at the four sizes in both themes: `python tests/screens/trends/gallery.py FOLDER`, to be looked at."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from shopclock.places import resource
from shopclock.screens.trends.presenter import TrendsPresenter
from shopclock.screens.trends.screen import TrendsScreen
from shopclock.shop.values import Stage
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.frame import Frame
from shopclock.widgets.look import Look
from shopclock.widgets.theme import read_theme
from tests.screens.trends.trend_shop import TrendShop
from tests.widgets.gallery import SCREENS, TABS, sizes_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.shop.stage_rows import StageRow


def all_stages(shop: TrendShop) -> list[StageRow]:
    """Rows at every stage that pieces pass."""
    stages = [stage for stage in shop.record.floor.all(Stage) if not stage.shop_work]
    other = [
        shop.row(i, 3 + n * 1.7 + (i * 7 % 5) * 0.4, None, stage_id=stage.id)
        for n, stage in enumerate(stages)
        if stage.id != shop.bevels.id
        for i in range(n % 10 + 1)
    ]
    return [*other, *shop.two_methods()]


def walk(screen: TrendsScreen, shop: TrendShop, grab: Callable[[str], None]) -> None:
    """Through the states of the screen."""
    presenter = screen.presenter
    screen.refresh()
    grab("stages")
    presenter.press_stage(str(shop.bevels.id))
    screen.refresh()
    grab("batches")
    presenter.press_point(f"{shop.batches[9].id}:{shop.freehand.id}:0")
    screen.refresh()
    grab("chosen")
    for view in ("by date", "as a table"):
        screen.stage.views.buttons[view].click()
        grab(view.replace(" ", "_"))
    screen.stage.views.buttons["batch by batch"].click()


def draw(look: Look, shop: TrendShop, folder: Path, stem: str) -> None:
    """Draw each state once, with two methods; then with too few batches, and with none."""
    rows: list[Sequence[StageRow]] = [all_stages(shop)]
    frame = Frame(look, TABS)
    presenter = TrendsPresenter(shop.record, frame.dialogs, lambda: rows[-1], lambda _tab: None)
    screen = TrendsScreen(look, presenter, shop.clock.moment)
    frame.resize(look.sizes.width, look.sizes.height)
    frame.set_page("trends", screen)
    frame.show()
    frame.show_page("trends")

    def grab(name: str) -> None:
        QApplication.processEvents()
        frame.grab().save(str(folder / f"{stem}_{name}.png"))

    walk(screen, shop, grab)
    for name, few in (
        ("crowd", shop.crowd()),
        ("few", [shop.row(i, 12.0 + i, None) for i in range(2)]),
        ("one", rows[0][-1:]),
        ("none", []),
    ):
        rows.append(few)
        screen.refresh()
        grab(name)
    frame.close()


def main(folder: Path) -> None:
    """Draw all screens in both themes."""
    app = QApplication([])
    folder.mkdir(parents=True, exist_ok=True)
    family = load_font(resource("fonts", name) for name in FONT_FILES)
    with tempfile.TemporaryDirectory() as place:
        shop = TrendShop(Path(place), 26)
        for screen in SCREENS:
            for theme in ("dark", "paper"):
                look = Look(read_theme(resource("theme.toml"), theme), sizes_of(screen), family, bounce_ms=0)
                draw(look, shop, folder, f"{screen}_{theme}")
        shop.record.close()
    app.quit()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
