"""Every drawn state of the Bench and every alarm is told to a screen reader; what they cover is not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest

from shopclock.screens.alarms.screen import AlarmScreen
from shopclock.screens.bench.screen import BenchScreen
from shopclock.views.button import Button
from shopclock.widgets.accessible import heard, stops
from shopclock.widgets.frame import Frame
from shopclock.widgets.press_button import PressButton
from tests.screens.alarms import stories as alarms
from tests.screens.bench import stories as bench
from tests.screens.bench.workshop import Workshop
from tests.screens.reader.told import tree
from tests.screens.reader.wrong import wrong_in

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style

Role = QAccessible.Role


@pytest.fixture
def frame(qtbot: QtBot, look: Style) -> Iterator[Frame]:
    frame = Frame(look, [("bench", "Bench"), ("shop", "Shop")])
    qtbot.addWidget(frame)
    frame.setWindowTitle("Shopclock")
    frame.resize(1280, 800)
    return frame


@pytest.mark.parametrize("name", bench.STATES)
def test_the_bench_is_told(frame: Frame, look: Style, tmp_path: Path, name: str) -> None:
    shop = Workshop.open(tmp_path / "shop.shopclock")
    try:
        bench.STATES[name](shop)
        if name != "far":
            shop.bench.wake()
        screen = BenchScreen(look, shop.bench, shop.clock.moment)
        screen.showEvent = lambda _event: None  # type: ignore[method-assign]  # whoever looks has not come to the Bench
        screen.far_changed.connect(frame.set_bare)
        frame.set_page("bench", screen)
        frame.show_page("bench")
        frame.show()
        screen.refresh()
        assert wrong_in(frame) == {}
    finally:
        shop.record.close()


@pytest.mark.parametrize("name", alarms.STATES)
def test_an_alarm_is_told_and_nothing_under_it(frame: Frame, look: Style, tmp_path: Path, name: str) -> None:
    shop = alarms.Alarmed.open(tmp_path / "shop.shopclock")
    pressed: list[object] = []
    try:
        alarms.STATES[name](shop)
        under = PressButton(look, Button("Stop"))
        under.pressed_at.connect(pressed.append)
        frame.set_page("bench", under)
        frame.show_page("bench")
        frame.show()
        under.setFocus()
        screen = AlarmScreen(look, frame, shop.alarms, shop.clock.moment)
        screen.refresh()
        assert wrong_in(frame) == {}
        alert = next(one for one in tree(frame) if one.role is Role.AlertMessage)
        state = screen.state
        assert state is not None
        assert (alert.name, alert.description) == (heard(state.title), heard(state.line))
        assert frame.focusWidget() is screen
        assert under not in stops(frame)
        interface = QAccessible.queryAccessibleInterface(under)
        assert interface.state().disabled
        assert interface.actionInterface().actionNames() == []
        interface.actionInterface().doAction("Press")
        QTest.keyClick(under, Qt.Key.Key_Space)
        frame.repaint()
        assert pressed == []
        screen.hide()
        screen.let_keyboard_go()
        assert frame.focusWidget() is under
        QTest.keyClick(under, Qt.Key.Key_Space)
        assert len(pressed) == 1
    finally:
        shop.record.close()
