"""Draws the pages of old notes: `python -m tests.screens.notes.gallery FOLDER [SCREEN]`, to be looked at."""

from __future__ import annotations

import shutil
import sys
import tempfile
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication

from shopclock.demo.notes import NAME, write_notebook
from shopclock.record.press.record import Record
from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.notes.bringing import Bringing
from shopclock.screens.notes.pages.files import FilesPage
from shopclock.screens.shop.presenter import ShopPresenter
from shopclock.screens.shop.screen import ShopScreen
from shopclock.widgets.frame import Frame
from tests.screens.batches.gallery import TABS
from tests.screens.batches.reading import press
from tests.screens.batches.story import Gone, Shop, routes
from tests.screens.pictures import draw_all

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.widgets.style import Style


def draw(shop: Shop, look: Style, folder: Path, stem: str) -> None:
    """Every page, on a copy of the record each time."""
    copy = shop.record.path.with_name(f"{stem}.shopclock")
    shutil.copyfile(shop.record.path, copy)
    record = Record.open(copy, shop.clock)
    frame = Frame(look, TABS)
    frame.resize(look.sizes.width, look.sizes.height)
    bringing = Bringing(record, AtOnce())
    pages = {("Old notes", "from a spreadsheet"): lambda s: FilesPage(s, bringing, lambda: [copy.parent])}
    presenter = ShopPresenter(record, frame.dialogs, routes(), Gone(), pages)
    screen = ShopScreen(look, presenter, shop.clock.moment)
    frame.set_page("shop", screen)
    frame.show()
    frame.show_page("shop")

    def shot(name: str) -> None:
        screen.refresh()
        QApplication.processEvents()
        frame.grab().save(str(folder / f"notes_{name}_{stem}.png"))

    _walk(presenter, frame, shot)
    frame.close()
    frame.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    record.close()


def _walk(presenter: ShopPresenter, frame: Frame, shot: Callable[[str], None]) -> None:
    press(presenter, "In and out", "Old notes")
    shot("files")
    press(presenter, "spring.csv")
    shot("dates")
    frame.dialogs._answered(None)
    shot("unanswered")
    presenter.back()
    press(presenter, NAME)
    shot("numbers")
    frame.dialogs._answered("minutes")
    shot("all")
    press(presenter, "Columns")
    shot("columns")
    presenter.press("column 4")
    shot("what")
    frame.dialogs._answered(None)
    presenter.back()
    press(presenter, "Stages")
    shot("stages")
    presenter.press(presenter.state().tiles[0].key)
    shot("stage")
    presenter.back()
    presenter.back()
    press(presenter, "Left out")
    shot("left")
    presenter.back()
    press(presenter, "Still in work")
    shot("open")
    presenter.back()
    press(presenter, "Bring in the rest")
    shot("done")


def main(folder: Path, screens: Sequence[str]) -> None:
    """Draw in these windows or in all, both themes, bare hands and gloves."""
    with tempfile.TemporaryDirectory() as place:
        shop = Shop(Path(place))
        shop.pattern("Paring 95")
        shop.record.close()
        write_notebook(Path(place))
        (Path(place) / "spring.csv").write_text("Date,Task,Time\n7/3/26,Saw,80\n8/3/26,Saw,20\n", encoding="utf-8")
        (Path(place) / "2022 all.xlsx").write_bytes(b"")
        (Path(place) / "belts and steel.ods").write_bytes(b"")
        draw_all(folder, partial(draw, shop), screens)


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
