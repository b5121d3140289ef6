"""Draws Today in many states: `python -m tests.screens.today.gallery FOLDER [SCREEN]`, to be looked at."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from shopclock import app
from shopclock.screens.today.presenter import TodayPresenter
from shopclock.screens.today.screen import TodayScreen
from shopclock.widgets.frame import Frame
from tests.screens.bench.workshop import Workshop
from tests.screens.pictures import draw_all
from tests.screens.today.stories import STATES

if TYPE_CHECKING:
    from shopclock.widgets.style import Style


def draw(look: Style, folder: Path, stem: str) -> None:
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
                shop.bench.begin,
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


if __name__ == "__main__":
    draw_all(Path(sys.argv[1]), draw, sys.argv[2:])
