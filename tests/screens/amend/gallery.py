"""Draws Amend in its main states, to be looked at: `python -m tests.screens.amend.gallery FOLDER [PART OF A NAME]`."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from shopclock.places import resource
from shopclock.screens.batches.presenter import BatchesPresenter
from shopclock.screens.batches.screen import BatchesScreen
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.frame import Frame
from shopclock.widgets.look import Look
from shopclock.widgets.metrics import Sizes
from shopclock.widgets.theme import read_theme
from tests.screens.amend.evening import Evening
from tests.screens.batches.gallery import SCREENS, TABS
from tests.screens.batches.story import Gone

if TYPE_CHECKING:
    from collections.abc import Sequence

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


def draw(shop: Evening, look: Look, folder: Path, stem: str) -> None:
    """Draw every state once."""
    frame = Frame(look, TABS)
    frame.resize(look.sizes.width, look.sizes.height)
    frame.header.set_title("Tue 22 Sep  22:24")
    presenter = BatchesPresenter(shop.record, frame.dialogs, Gone(), lambda: None)
    frame.set_page("batches", BatchesScreen(look, presenter, shop.clock.moment))
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


def main(folder: Path, wanted: str) -> None:
    """Draw all states, both themes, bare hands and gloves; `wanted` is a part of the names of those to draw."""
    app = QApplication([])
    folder.mkdir(parents=True, exist_ok=True)
    family = load_font(resource("fonts", name) for name in FONT_FILES)
    with tempfile.TemporaryDirectory() as place:
        shop = Evening(Path(place))
        for screen, px_mm in SCREENS.items():
            for theme in ("dark", "paper"):
                for gloves in (False, True):
                    stem = f"{screen}_{theme}{'_gloves' if gloves else ''}"
                    if wanted in stem:
                        width, height = map(int, screen.split("x"))
                        sizes = Sizes(width, height, px_mm, gloves=gloves)
                        draw(shop, Look(read_theme(resource("theme.toml"), theme), sizes, family), folder, stem)
        shop.record.close()
    app.quit()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2] if len(sys.argv) > 2 else "")
