"""Draws every alarm: `python -m tests.screens.alarms.gallery FOLDER [SCREEN]`, to be looked at."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from shopclock.screens.alarms.screen import AlarmScreen
from shopclock.widgets.frame import Frame
from tests.screens.alarms.stories import STATES, Alarmed
from tests.screens.pictures import draw_all

if TYPE_CHECKING:
    from shopclock.widgets.style import Style


def draw(look: Style, folder: Path, stem: str) -> None:
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


if __name__ == "__main__":
    draw_all(Path(sys.argv[1]), draw, sys.argv[2:])
