"""Draws the Bench in many states: `python -m tests.screens.bench.gallery FOLDER [SCREEN]`, to be looked at."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from PySide6.QtWidgets import QApplication

from shopclock.places import resource
from shopclock.screens.bench.screen import BenchScreen
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.frame import Frame
from shopclock.widgets.look import Look
from shopclock.widgets.metrics import Sizes
from shopclock.widgets.theme import read_theme
from tests.screens.bench.stories import STATES
from tests.screens.bench.workshop import Workshop

SCREENS = {"1024x600": 4.63, "1280x800": 5.94, "1366x768": 4.41, "1920x1080": 2.17}
TABS = [(name.lower(), name) for name in ("Today", "Bench", "Batches", "Review", "Trends", "Plan", "Shop")]


def draw(look: Look, folder: Path, stem: str) -> None:
    """Draw each state once."""
    for name, make in STATES.items():
        with tempfile.TemporaryDirectory() as place:
            shop = Workshop.open(Path(place) / "a.shopclock")
            make(shop)
            if name != "far":
                shop.bench.wake()
            frame = Frame(look, TABS)
            frame.resize(look.sizes.width, look.sizes.height)
            frame.header.set_title("Thu 26 Nov  20:14")
            screen = BenchScreen(look, shop.bench, shop.clock.moment)
            screen.far_changed.connect(frame.set_bare)
            screen.showEvent = lambda _event: None  # whoever draws has not come to the Bench
            frame.set_page("bench", screen)
            frame.show_page("bench")
            frame.show()
            screen.refresh()
            QApplication.processEvents()
            frame.grab().save(str(folder / f"{stem}_{name}.png"))
            frame.close()
            shop.record.close()


def main(folder: Path, screens: list[str]) -> None:
    """Draw all screens, both themes, bare hands and gloves."""
    app = QApplication([])
    app.setStyle("fusion")
    folder.mkdir(parents=True, exist_ok=True)
    family = load_font(resource("fonts", name) for name in FONT_FILES)
    for screen in screens or SCREENS:
        width, height = map(int, screen.split("x"))
        for theme in ("dark", "paper"):
            for gloves in (False, True):
                sizes = Sizes(width, height, SCREENS[screen], gloves=gloves)
                look = Look(read_theme(resource("theme.toml"), theme), sizes, family)
                draw(look, folder, f"{screen}_{theme}{'_gloves' if gloves else ''}")
    app.quit()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
