"""Draws Plan with the demo shop, to be looked at: `python -m tests.screens.plan.gallery FOLDER [part of a name]`."""

from __future__ import annotations

import sys
import tempfile
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from shopclock.app import TABS
from shopclock.demo.write import write_demo
from shopclock.record.record import Record
from shopclock.screens.background import AtOnce
from shopclock.screens.plan.presenter import PlanPresenter
from shopclock.screens.plan.screen import PlanScreen
from shopclock.shop.money import Manner
from shopclock.widgets.fake_dialogs import FakeDialogs
from shopclock.widgets.frame import Frame
from tests.screens.pictures import draw_all
from tests.shop.workshop import ToyClock

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.widgets.look import Look

STATES: dict[str, Sequence[str | tuple[str, ...]]] = {
    "orders": (),
    "order": ("order 1",),
    "hours": ("hours",),
    "costs": ("costs",),
    "promise": ("promise", ("pattern", "2"), ("wanted", "6"), ("day", "8")),
}
"""Keys to press; a tuple is a key and what is answered."""


def _nowhere(tab_key: str, batch_id: int | None = None) -> None:
    raise AssertionError((tab_key, batch_id))


def draw(record: Record, clock: ToyClock, wanted: str, look: Look, folder: Path, stem: str) -> None:
    """Draw every state once."""
    if wanted not in stem:
        return
    frame, dialogs = Frame(look, TABS), FakeDialogs()
    frame.resize(look.sizes.width, look.sizes.height)
    frame.header.set_title("Thu 26 Nov  20:14")
    plan = PlanPresenter(record, dialogs, _nowhere, AtOnce(), Manner())
    frame.set_page("plan", PlanScreen(look, plan, clock.moment))
    frame.show()
    frame.show_page("plan")
    for name, keys in STATES.items():
        plan.home()
        for key in keys:
            dialogs.answers = list(key[1:]) if isinstance(key, tuple) else []
            plan.press(key[0] if isinstance(key, tuple) else key)
        QApplication.processEvents()
        frame.grab().save(str(folder / f"plan_{name}_{stem}.png"))
    frame.close()


def main(folder: Path, wanted: str) -> None:
    """Draw in all windows, both themes, bare hands and gloves."""
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "demo.shopclock"
        write_demo(path)
        clock = ToyClock(1_795_723_000_000_000)
        record = Record.open(path, clock)
        clock.now_us = record.instant()
        draw_all(folder, partial(draw, record, clock, wanted))
        record.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2] if len(sys.argv) > 2 else "")
