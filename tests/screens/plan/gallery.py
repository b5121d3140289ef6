"""Draws Plan with the demo shop, to be looked at: `python -m tests.screens.plan.gallery FOLDER [SCREEN]`."""

from __future__ import annotations

import sys
import tempfile
from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from shopclock.app import TABS
from shopclock.demo.write import write_demo
from shopclock.record.press.record import Record
from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.paged.screen import PagedScreen
from shopclock.screens.plan.presenter import PlanPresenter
from shopclock.shop.planning import orders, plan_order
from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.entities import Pattern
from shopclock.shop.values.money import Manner
from shopclock.widgets.frame import Frame
from tests.fake_dialogs import FakeDialogs
from tests.screens.pictures import draw_all
from tests.shop.workshop import ToyClock

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.widgets.style import Style

STATES: dict[str, Sequence[str | tuple[str, ...]]] = {
    "orders": (),
    "order": ("order 1",),
    "hours": ("hours",),
    "costs": ("costs",),
    "the_plan": ("plan",),
    "days": ("plan", "days"),
    "what_if": ("plan", "what if"),
    "earned": ("costs", "earned"),
    "next": ("next",),
    "tool": ("costs", "tool", ("price", "480"), ("record", "20")),
    "oil": (
        "next",
        "oil",
        ("oil litres", "12"),
        ("oil low", "40"),
        ("oil high", "70"),
        ("oil blade", "180"),
        ("oil blade temperature", "800"),
        ("oil temperature", "50"),
    ),
    "promise": ("promise", ("pattern", "2"), ("wanted", "6"), ("day", "8")),
}
"""Keys to press; a tuple is a key and what is answered."""


def _nowhere(tab_key: str, batch_id: int | None = None) -> None:
    raise AssertionError((tab_key, batch_id))


def draw(record: Record, clock: ToyClock, look: Style, folder: Path, stem: str) -> None:
    """Draw every state once."""
    frame, dialogs = Frame(look, TABS), FakeDialogs()
    frame.resize(look.sizes.width, look.sizes.height)
    frame.header.set_title("Thu 26 Nov  20:14")
    plan = PlanPresenter(record, dialogs, _nowhere, AtOnce(), Manner())
    frame.set_page("plan", PagedScreen(look, plan, clock.moment))
    frame.show()
    frame.show_page("plan")
    for name, keys in STATES.items():
        plan.home()
        for key in keys:
            dialogs.answers = list(key[1:]) if isinstance(key, tuple) else []
            plan.press(key[0] if isinstance(key, tuple) else key)
        plan.changed()
        QApplication.processEvents()
        frame.grab().save(str(folder / f"plan_{name}_{stem}.png"))
    frame.close()


def busy(record: Record) -> None:
    """Two orders, one of which can't hold, and a second batch moved before the first."""
    floor = record.floor
    first, *_, last = plan_order.in_order(floor)
    day = shop_time(record.instant(), zone_of(floor)).date()
    for who, batch, days in (("Hollis", first, 3), ("Marrow", last, 200)):
        pattern = floor.get(Pattern, batch.pattern_id)
        promised = day + timedelta(days=days)
        take = partial(orders.take_order, who=who, pattern=pattern, wanted=1, promised=promised)
        made, _ = record.press("order", take)
        free = next(f.pieces[0] for f in orders.unpromised(floor, pattern) if f.batch.id == batch.id)
        record.press("tie", partial(orders.tie, order=made, piece=free))


def main(folder: Path, screens: Sequence[str]) -> None:
    """Draw in these windows or in all, both themes, bare hands and gloves."""
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "demo.shopclock"
        write_demo(path)
        clock = ToyClock(1_795_723_000_000_000)
        record = Record.open(path, clock)
        clock.now_us = record.instant()
        busy(record)
        draw_all(folder, partial(draw, record, clock), screens)
        record.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
