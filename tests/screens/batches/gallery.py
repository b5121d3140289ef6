"""Draws Batches and Shop in their main states: `python -m tests.screens.batches.gallery FOLDER [SCREEN]`."""

from __future__ import annotations

import sys
import tempfile
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from shopclock.screens.batches.presenter import BatchesPresenter
from shopclock.screens.paged.screen import PagedScreen
from shopclock.screens.shop.presenter import ShopPresenter
from shopclock.screens.shop.screen import ShopScreen
from shopclock.widgets.frame import Frame
from tests.screens.batches.story import Gone, Shop, busy, routes
from tests.screens.pictures import draw_all

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.widgets.style import Style

TABS = [(name.lower(), name) for name in ("Bench", "Batches", "Trends", "Shop")]
BATCHES: dict[str, Sequence[str]] = {
    "list": (),
    "patterns": ("new",),
    "how_many": ("new", "pattern 2", "n 7"),
    "where": ("new", "pattern 2", "stand"),
    "open": ("batch 6",),
    "twelve": ("batch 7",),
    "closed": ("batch 5",),
    "piece": ("batch 6", "piece 36"),
    "steps": ("batch 6", "steps"),
    "close": ("batch 6", "close"),
}
SHOP: dict[str, Sequence[str]] = {
    "home": (),
    "patterns": ("patterns",),
    "copy": ("patterns", "copy"),
    "route": ("patterns", "pattern 2"),
    "step": ("patterns", "pattern 2", "step 24"),
    "rules": ("patterns", "pattern 2", "rules"),
    "stages": ("stages",),
    "tools": ("tools",),
    "reasons": ("reasons",),
    "words": ("words",),
    "look": ("look and sizes",),
    "ruler": ("look and sizes", "ruler"),
    "keys": ("keys and pedals",),
    "key": ("keys and pedals", "done"),
}


def draw(shop: Shop, look: Style, folder: Path, stem: str) -> None:
    """Draw every state once."""
    frame = Frame(look, TABS)
    frame.resize(look.sizes.width, look.sizes.height)
    frame.header.set_title("Thu 26 Nov  20:14")
    batches = BatchesPresenter(shop.record, frame.dialogs, Gone(), lambda: None)
    shops = ShopPresenter(shop.record, frame.dialogs, routes(), Gone())
    frame.set_page("batches", PagedScreen(look, batches, shop.clock.moment))
    frame.set_page("shop", ShopScreen(look, shops, shop.clock.moment))
    frame.show()
    for tab, presenter, states in (("batches", batches, BATCHES), ("shop", shops, SHOP)):
        frame.show_page(tab)
        for name, keys in states.items():
            presenter.home()
            for key in keys:
                before = presenter.state()
                presenter.press(key)
                assert presenter.state() != before, f"nothing came of {key} on the way to {name}"
            QApplication.processEvents()
            frame.grab().save(str(folder / f"{tab}_{name}_{stem}.png"))
    frame.close()


def main(folder: Path, screens: Sequence[str]) -> None:
    """Draw in these windows or in all, both themes, bare hands and gloves."""
    with tempfile.TemporaryDirectory() as place:
        shop = Shop(Path(place))
        busy(shop)
        draw_all(folder, partial(draw, shop), screens)
        shop.record.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
