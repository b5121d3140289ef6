"""Draws every alarm: `python -m tests.screens.alarms.gallery FOLDER [SCREEN]`, to be looked at."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from PySide6.QtWidgets import QApplication

from shopclock.places import resource
from shopclock.screens.alarms.screen import AlarmScreen
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.frame import Frame
from shopclock.widgets.look import Look
from shopclock.widgets.metrics import Sizes
from shopclock.widgets.theme import read_theme
from tests.screens.alarms.stories import STATES, Alarmed

SCREENS = {"1024x600": 4.63, "1280x800": 5.94, "1366x768": 4.41, "1920x1080": 2.17}


def draw(look: Look, folder: Path, stem: str) -> None:
    """Draw each state once."""
    for name, make in STATES.items():
        with tempfile.TemporaryDirectory() as place:
            shop = Alarmed.open(Path(place) / "a.shopclock")
            make(shop)
            frame = Frame(look, [("bench", "Bench")])
            frame.resize(look.sizes.width, look.sizes.height)
            screen = AlarmScreen(look, frame, shop.alarms, shop.clock.moment)
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
