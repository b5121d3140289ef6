"""Every state of the window is told to a screen reader: role, name and state of all, and every painted text."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QWidget
from shiboken6 import delete

from shopclock.demo.notes import write_notebook
from shopclock.demo.shop import demo_shop
from shopclock.demo.write import default_end_us, write_demo
from shopclock.tour.story import STORY, windows
from shopclock.tour.window import StoppedClock
from shopclock.tour.window_hand import WindowHand
from shopclock.widgets.accessible import Part, _PartInterface
from tests.plenty import few
from tests.screens.reader.wrong import wrong_in
from tests.walks.walk import TABLET

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.tour.window import Window


WINDOWS = [
    pytest.param(window, marks=() if window == TABLET else pytest.mark.long, id=window.name)
    for window in few(windows(everything=True))
]
"""The tablet each time; the other screens, the other theme and gloves where it may take long."""


@pytest.mark.parametrize("window", WINDOWS)
def test_every_state_of_the_tour_is_told(window: Window, tmp_path: Path, qapp: object) -> None:
    record = tmp_path / "shop.shopclock"
    write_demo(tmp_path / "demo.shopclock")
    shutil.copyfile(tmp_path / "demo.shopclock", record)
    write_notebook(tmp_path)
    hand, wrong = WindowHand(tmp_path, record, window, StoppedClock(default_end_us(demo_shop()))), {}
    try:
        for act, words in STORY:
            if act != "draw":
                getattr(hand, act)(words)
            elif found := wrong_in(hand.frame):
                wrong[words] = found
    finally:
        hand.close()
    assert not wrong


def test_a_painted_text_whose_widget_is_gone_can_still_be_asked(qapp: object) -> None:
    """Qt asks it once more while the widget is being taken apart: an error there would end the program."""
    widget = QWidget()
    text = _PartInterface(widget, Part("14 min", QRect(0, 0, 10, 10)))
    assert text.isValid()
    delete(widget)
    assert not text.isValid()
    assert text.window() is None
    assert text.parent() is None
    assert text.state().invisible
    assert text.rect().isNull()
    assert text.text(QAccessible.Text.Name) == "14 min"
