"""Draws Today in many states: `python -m tests.screens.today.gallery FOLDER [SCREEN]`, to be looked at."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from PySide6.QtWidgets import QApplication

from shopclock import app
from shopclock.places import resource
from shopclock.screens.today.presenter import TodayPresenter
from shopclock.screens.today.screen import TodayScreen
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.frame import Frame
from shopclock.widgets.look import Look
from shopclock.widgets.metrics import Sizes
from shopclock.widgets.theme import read_theme
from tests.screens.bench.gallery import SCREENS
from tests.screens.bench.workshop import Workshop
from tests.screens.today.stories import STATES


def draw(look: Look, folder: Path, stem: str) -> None:
    """Draw each state once."""
    for name, make in STATES.items():
        with tempfile.TemporaryDirectory() as place:
            shop = Workshop.open(Path(place) / "a.shopclock")
            make(shop)
            frame = Frame(look, app.TABS)
            frame.resize(look.sizes.width, look.sizes.height)
            frame.header.set_title("Thu 26 Nov  20:14")
            presenter = TodayPresenter(
                shop.record,
                shop.dialogs,
                lambda here=shop: here.record.reads.stage_rows(here.record.instant()),
                lambda *_: None,
            )
            screen = TodayScreen(look, presenter, shop.clock.moment)
            frame.set_page("today", screen)
            frame.show_page("today")
            frame.show()
            screen.refresh()
            QApplication.processEvents()
            frame.grab().save(str(folder / f"{stem}_{name}.png"))
            frame.close()
            shop.record.close()


def main(folder: Path, screens: list[str]) -> None:
    """Draw all screens, both themes, bare hands and gloves."""
    application = QApplication([])
    application.setStyle("fusion")
    folder.mkdir(parents=True, exist_ok=True)
    family = load_font(resource("fonts", name) for name in FONT_FILES)
    for screen in screens or SCREENS:
        width, height = map(int, screen.split("x"))
        for theme in ("dark", "paper"):
            for gloves in (False, True):
                sizes = Sizes(width, height, SCREENS[screen], gloves=gloves)
                look = Look(read_theme(resource("theme.toml"), theme), sizes, family)
                draw(look, folder, f"{screen}_{theme}{'_gloves' if gloves else ''}")
    application.quit()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
