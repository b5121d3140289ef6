"""Draws Shop's first page and the manual, to be looked at: `python -m tests.screens.manual.gallery FOLDER [SCREEN]`."""

from __future__ import annotations

import sys
import tempfile
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from shopclock.screens.paged.text_body import TextBody
from shopclock.screens.shop.presenter import ShopPresenter
from shopclock.screens.shop.screen import ShopScreen
from shopclock.widgets.frame import Frame
from tests.screens.amend.evening import Evening
from tests.screens.batches.gallery import TABS
from tests.screens.batches.story import Gone
from tests.screens.pictures import draw_all

if TYPE_CHECKING:
    from shopclock.widgets.style import Style

CHAPTERS = ("bench", "figures", "columns")


def draw(shop: Evening, look: Style, folder: Path, stem: str) -> None:
    """The list of chapters, and the first and second screen of some."""
    frame = Frame(look, TABS)
    frame.resize(look.sizes.width, look.sizes.height)
    presenter = ShopPresenter(shop.record, frame.dialogs, (), Gone())
    screen = ShopScreen(look, presenter, shop.clock.moment)
    frame.set_page("shop", screen)
    frame.show()
    frame.show_page("shop")
    screen.refresh()
    _grab(frame, folder / f"manual_home_{stem}.png")
    presenter.press("manual")
    _grab(frame, folder / f"manual_list_{stem}.png")
    for name in CHAPTERS:
        presenter.press(name)
        _grab(frame, folder / f"manual_{name}_{stem}.png")
        if isinstance(screen.body, TextBody):
            screen.body.more.pressed_at.emit(None)
        _grab(frame, folder / f"manual_{name}_2_{stem}.png")
        presenter.back()
    frame.close()


def _grab(frame: Frame, path: Path) -> None:
    QApplication.processEvents()
    frame.grab().save(str(path))


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as here:
        draw_all(Path(sys.argv[1]), partial(draw, Evening(Path(here))), sys.argv[2:])
