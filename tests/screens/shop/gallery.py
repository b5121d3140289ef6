"""Draws the copies' pages: `python -m tests.screens.shop.gallery FOLDER`, to be looked at."""

from __future__ import annotations

import sys
import tempfile
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication

from shopclock.record import copies
from shopclock.record.copies import Keeps
from shopclock.screens.background import AtOnce
from shopclock.screens.bringing_back import BringingBack
from shopclock.screens.keeping import Keeping
from shopclock.screens.shop.pages.copies import CopiesPage
from shopclock.screens.shop.presenter import ShopPresenter
from shopclock.screens.shop.screen import ShopScreen
from shopclock.shop.wording import zone_of
from shopclock.widgets.fake_dialogs import FakeDialogs
from shopclock.widgets.frame import Frame
from tests.screens.batches.gallery import TABS
from tests.screens.batches.reading import press
from tests.screens.batches.story import Gone, Shop, busy, routes
from tests.screens.pictures import draw_all

if TYPE_CHECKING:
    from shopclock.widgets.look import Look

DAY_MIN = 24 * 60


def draw(shop: Shop, look: Look, folder: Path, stem: str) -> None:
    """The list, the question where, one copy, and a damaged record."""
    frame = Frame(look, TABS)
    frame.resize(look.sizes.width, look.sizes.height)
    keeping = Keeping(shop.record, frame.dialogs, AtOnce(), frame.header.set_note, lambda _: None)
    drives = [("STICK", Path("/media/anna/STICK"))]
    presenter = ShopPresenter(
        shop.record, frame.dialogs, routes(), Gone(), lambda stack: CopiesPage(stack, keeping, lambda: drives)
    )
    screen = ShopScreen(look, presenter, shop.clock.moment)
    frame.set_page("shop", screen)
    frame.show()

    def shot(name: str) -> None:
        QApplication.processEvents()
        frame.grab().save(str(folder / f"copies_{name}_{stem}.png"))

    screen.refresh()
    frame.show_page("shop")
    shot("shop")
    press(presenter, "Copies")
    shot("list")
    press(presenter, "Where to")
    shot("where")
    frame.dialogs._answered(None)
    presenter.press(presenter.state().tiles[4].key)
    shot("one")
    press(presenter, "Bring this copy back")
    shot("sure")
    frame.dialogs._answered(None)
    now_us = shop.record.instant()
    bringing = BringingBack(frame.dialogs, AtOnce(), shop.record.path, now_us, zone_of(shop.floor))
    bringing.offer(lambda: None, lambda: None)
    shot("damaged")
    frame.close()
    frame.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def main(folder: Path) -> None:
    """Draw all windows, both themes, bare hands and gloves."""
    with tempfile.TemporaryDirectory() as place:
        shop = Shop(Path(place))
        busy(shop)
        keeping = Keeping(shop.record, FakeDialogs(), AtOnce(), print, print)
        for number in range(24):
            shop.clock.go(DAY_MIN)
            shop.pattern(f"Paring {number}")
            keeping.look()
        copies.write_keeps(shop.record.path, Keeps("", "/media/anna/STICK can't be written to (No space left)."))
        draw_all(folder, partial(draw, shop))
        shop.record.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
