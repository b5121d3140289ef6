"""Draws the Bench in many states: `python -m tests.screens.bench.gallery FOLDER [SCREEN]`, to be looked at."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from shopclock.screens.bench.screen import BenchScreen
from shopclock.widgets.frame import Frame
from tests.screens.bench.stories import STATES
from tests.screens.bench.workshop import Workshop
from tests.screens.pictures import draw_all

if TYPE_CHECKING:
    from shopclock.widgets.style import Style

TABS = [(name.lower(), name) for name in ("Today", "Bench", "Batches", "Review", "Trends", "Plan", "Shop")]


def draw(look: Style, folder: Path, stem: str) -> None:
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


if __name__ == "__main__":
    draw_all(Path(sys.argv[1]), draw, sys.argv[2:])
