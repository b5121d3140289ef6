"""Draws Amend in its main states, to be looked at: `python -m tests.screens.amend.gallery FOLDER [SCREEN]`."""

from __future__ import annotations

import sys
import tempfile
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from shopclock.screens.batches.presenter import BatchesPresenter
from shopclock.screens.paged.screen import PagedScreen
from shopclock.widgets.frame import Frame
from tests.screens.amend.evening import Evening
from tests.screens.batches.gallery import TABS
from tests.screens.batches.story import Gone
from tests.screens.pictures import draw_all

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.widgets.style import Style

STATES: dict[str, Sequence[str]] = {
    "batch": (),
    "day": ("amend",),
    "day_before": ("amend", "earlier"),
    "stretch": ("amend", "stretch 4"),
    "pieces": ("amend", "stretch 2", "pieces"),
    "history": ("amend", "history"),
    "press": ("amend", "history", "press 9"),
}
ASKED: dict[str, Sequence[str]] = {
    "type": ("amend", "stretch 2", "start"),
    "gives_way": ("amend", "stretch 3", "start less"),
    "kind": ("amend", "stretch 4", "kind"),
}


def draw(shop: Evening, look: Style, folder: Path, stem: str) -> None:
    """Draw every state once."""
    frame = Frame(look, TABS)
    frame.resize(look.sizes.width, look.sizes.height)
    frame.header.set_title("Tue 22 Sep  22:24")
    presenter = BatchesPresenter(shop.record, frame.dialogs, Gone(), lambda: None)
    frame.set_page("batches", PagedScreen(look, presenter, shop.clock.moment))
    frame.show()
    frame.show_page("batches")
    for name, keys in (STATES | ASKED).items():
        presenter.home()
        for key in (f"batch {shop.first.id}", *keys):
            presenter.press(key)
        QApplication.processEvents()
        frame.grab().save(str(folder / f"amend_{name}_{stem}.png"))
        if name in ASKED:
            frame.overlay.left.emit()
    frame.close()


def main(folder: Path, screens: Sequence[str]) -> None:
    """Draw in these windows or in all, both themes, bare hands and gloves."""
    with tempfile.TemporaryDirectory() as place:
        shop = Evening(Path(place))
        draw_all(folder, partial(draw, shop), screens)
        shop.record.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
