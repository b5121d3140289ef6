"""Draws readings: `python -m tests.screens.readings.gallery FOLDER [SCREEN]`, to be looked at."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication

from shopclock.screens.batches.presenter import BatchesPresenter
from shopclock.screens.bench.screen import BenchScreen
from shopclock.screens.bench.state import Verb
from shopclock.screens.paged.screen import PagedScreen
from shopclock.screens.shop.presenter import ShopPresenter
from shopclock.screens.shop.screen import ShopScreen
from shopclock.shop.values.entities import ReadingKind
from shopclock.views.button import Press
from shopclock.widgets.frame import Frame
from shopclock.widgets.panels import NumberPanel
from tests.screens.batches.reading import press
from tests.screens.batches.story import Gone, routes
from tests.screens.bench.gallery import TABS
from tests.screens.bench.workshop import Workshop
from tests.screens.pictures import draw_all

if TYPE_CHECKING:
    from shopclock.widgets.style import Style


def story(shop: Workshop) -> None:
    """Two batches; the first has readings, B of the second is soft."""
    first = shop.batch("Paring 95", 7)
    kinds = {kind.name: str(kind.id) for kind in shop.record.floor.all(ReadingKind)}
    hardness, edge = kinds["Hardness"], kinds["Edge before sharpening"]
    shop.press(Verb.READING, answers=("A", edge, "0.2 mm"))
    second = shop.batch("Paring 95", 7)
    shop.press(Press(Verb.BATCH, first.id))
    shop.press(Press(Verb.BATCH, second.id))
    shop.start("Grind bevels", second)
    shop.press(Verb.READING, 12, answers=("C", edge, "8 thou"))
    shop.press(Verb.READING, 1, answers=("B", hardness, "55.5 HRC"))


def draw(look: Style, folder: Path, stem: str) -> None:
    """The Bench, its questions, a piece, its readings, the shop's list."""
    with tempfile.TemporaryDirectory() as place:
        shop = Workshop.open(Path(place) / "a.shopclock")
        story(shop)
        frame = Frame(look, TABS)
        frame.resize(look.sizes.width, look.sizes.height)
        bench = BenchScreen(look, shop.bench, shop.clock.moment)
        batches = BatchesPresenter(shop.record, frame.dialogs, Gone(), lambda: None)
        shops = ShopPresenter(shop.record, frame.dialogs, routes(), Gone())
        frame.set_page("bench", bench)
        frame.set_page("batches", PagedScreen(look, batches, shop.clock.moment))
        frame.set_page("shop", ShopScreen(look, shops, shop.clock.moment))
        frame.show()

        def shot(name: str) -> None:
            QApplication.processEvents()
            frame.grab().save(str(folder / f"{stem}_{name}.png"))

        frame.show_page("bench")
        shop.bench.wake()
        bench.refresh()
        shot("bench")
        frame.show_page("batches")
        press(batches, f"{shop.record.floor.open_batches()[-1].name} Paring 95", "B")
        shot("piece")
        press(batches, "Readings")
        shot("readings")
        press(batches, "New reading")
        shot("what")
        frame.dialogs._answered(str(list(shop.record.floor.all(ReadingKind))[1].id))
        shot("pad")
        for unit in frame.findChildren(NumberPanel):
            unit.unit.pressed_at.emit(None)
            unit.unit.pressed_at.emit(None)
        shot("thousandths")
        frame.dialogs._answered(None)
        frame.show_page("shop")
        press(shops, "Stages", "Temper", "Readings")
        shot("kinds")
        press(shops, "Hardness")
        shot("kind")
        frame.close()
        frame.deleteLater()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        shop.record.close()


if __name__ == "__main__":
    draw_all(Path(sys.argv[1]), draw, sys.argv[2:])
