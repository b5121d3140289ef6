"""The shell: header, tabs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from shopclock.views.button import Button
from shopclock.widgets.frame import Frame
from shopclock.widgets.header import Tab
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.work_bar import WorkBar

if TYPE_CHECKING:
    from collections.abc import Callable

    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style

TABS = [(name.lower(), name) for name in ("Today", "Bench", "Batches", "Review", "Trends", "Plan", "Shop")]


@pytest.fixture
def frame(qtbot: QtBot, look: Style) -> Frame:
    look.bounce_ms = 0
    frame = Frame(look, TABS)
    for key in ("bench", "trends"):
        frame.set_page(key, QWidget())
    qtbot.addWidget(frame)
    frame.resize(1280, 800)
    frame.show()
    qtbot.waitExposed(frame)
    return frame


def tab(frame: Frame, title: str) -> Tab:
    return next(tab for tab in frame.findChildren(Tab) if tab.state.title == title)


def click(widget: QWidget) -> None:
    QTest.mouseClick(widget, Qt.MouseButton.LeftButton)


@pytest.mark.parametrize("size", [(1024, 600), (1280, 800), (1366, 768), (1920, 1080)])
def test_seven_tabs_stand_beside_each_other_on_all_screens(frame: Frame, size: tuple[int, int]) -> None:
    frame.resize(*size)
    assert not frame.header.collapsed
    shown = [tab for tab in frame.findChildren(Tab) if tab.isVisible()]
    assert len([one for one in shown if one.state.title != "?"]) == len(TABS)
    for number, one in enumerate(shown):
        assert frame.header.rect().contains(one.geometry())
        assert not any(one.geometry().intersects(other.geometry()) for other in shown[number + 1 :])


def test_a_tab_says_that_it_was_pressed_and_does_nothing_else(frame: Frame, qtbot: QtBot) -> None:
    frame.show_page("bench")
    with qtbot.waitSignal(frame.tab_pressed, timeout=1000) as heard:
        click(tab(frame, "Trends"))
    assert heard.args == ["trends"]
    assert frame.current == "bench"
    frame.show_page("trends")
    assert frame.current == "trends"
    assert tab(frame, "Trends").state.checked
    assert not tab(frame, "Bench").state.checked


@pytest.mark.parametrize("how", ["narrow", "told"])
def test_the_tabs_go_behind_one_button_when_narrow_or_told(frame: Frame, qtbot: QtBot, how: str) -> None:
    if how == "narrow":
        frame.resize(620, 800)
    else:
        frame.header.set_compact(compact=True)
    assert frame.header.collapsed
    click(tab(frame, "Menu"))
    buttons = frame.overlay.panel.grid.buttons
    assert [button.state.title for button in buttons] == [*(label for _, label in TABS), "Manual"]
    with qtbot.waitSignal(frame.tab_pressed, timeout=1000) as heard:
        click(buttons[4])
    assert heard.args == ["trends"]


@pytest.mark.parametrize("size", [(1280, 800), (1366, 768), (1920, 1080)])
def test_the_manual_of_a_screen_is_one_press_away(frame: Frame, qtbot: QtBot, size: tuple[int, int]) -> None:
    frame.resize(*size)
    with qtbot.waitSignal(frame.help_wanted, timeout=1000):
        click(tab(frame, "?"))


def test_f1_is_the_manual_of_the_screen_and_waits_for_an_answer_to_what_is_asked(frame: Frame, qtbot: QtBot) -> None:
    heard: list[bool] = []
    frame.help_wanted.connect(lambda: heard.append(True))
    frame.dialogs.tell("Nothing was changed.")
    qtbot.keyClick(frame, Qt.Key.Key_F1)
    assert heard == []
    frame.overlay.close_panel()
    qtbot.keyClick(frame, Qt.Key.Key_F1)
    assert heard == [True]


def test_the_manual_is_behind_menu_where_there_is_no_room_for_it(frame: Frame, qtbot: QtBot) -> None:
    frame.header.set_compact(compact=True)
    assert not tab(frame, "?").isVisible()
    click(tab(frame, "Menu"))
    with qtbot.waitSignal(frame.help_wanted, timeout=1000):
        click(frame.overlay.panel.grid.buttons[-1])


def test_the_window_never_grows_by_what_it_holds(qtbot: QtBot, frame: Frame, look: Style) -> None:
    big = QWidget()
    big.setMinimumSize(3000, 3000)
    frame.set_page("bench", big)
    frame.show_page("bench")
    qtbot.wait(20)
    assert (frame.width(), frame.height()) == (1280, 800)


def test_sizes_follow_the_window(frame: Frame, look: Style) -> None:
    frame.resize(1024, 600)
    assert (look.sizes.width, look.sizes.height) == (1024, 600)


def test_another_theme_is_worn_at_once(frame: Frame, make_look: Callable[..., Style], look: Style) -> None:
    frame.set_page("shop", PressButton(look, Button("Stop", role="raised")))
    frame.show_page("shop")
    dark = frame.grab().toImage()
    look.set_theme(make_look(theme="paper").theme)
    paper = frame.grab().toImage()
    assert paper.pixelColor(2, 2).name().upper() == look.theme.ground
    assert dark.pixelColor(2, 2) != paper.pixelColor(2, 2)
    assert look.theme.plate in frame.styleSheet()


def test_long_work_stands_in_the_header_and_its_one_button_stops_it(frame: Frame) -> None:
    stopped: list[bool] = []
    frame.header.set_note("Temper ended 14 min ago")
    frame.show_work("Writing the spreadsheet", 0.37, lambda: stopped.append(True))
    (bar,) = frame.findChildren(WorkBar)
    cancel = next(button for button in bar.findChildren(PressButton) if button.isVisible())
    assert bar.words == "Writing the spreadsheet, 37 %"
    assert frame.header.collapsed
    assert frame.header.rect().contains(bar.geometry())
    click(cancel)
    assert stopped == [True]
    frame.show_work("Stopping", None, None)
    assert not cancel.isVisible()
    frame.hide_work()
    assert not bar.isVisible()
    assert not frame.header.collapsed


def test_long_work_stands_at_the_bottom_before_there_is_a_header(frame: Frame) -> None:
    frame.header.hide()
    frame.show_work("Copying the record", 0.5, lambda: None)
    (bar,) = frame.findChildren(WorkBar)
    QApplication.processEvents()
    assert bar.isVisible()
    assert bar.geometry().bottom() == frame.rect().bottom()
    frame.header.show()
    frame.show_work("Copying the record", 0.6, lambda: None)
    assert bar.parent() is frame.header
    frame.hide_work()
    assert not bar.isVisible()


class Paints(QObject):
    """Counts how often a widget is painted."""

    def __init__(self, widget: QWidget) -> None:
        super().__init__(widget)
        self.seen = 0
        widget.installEventFilter(self)

    def eventFilter(self, _widget: QObject, event: QEvent) -> bool:
        self.seen += event.type() == QEvent.Type.Paint
        return False


def test_what_keeps_the_loop_from_painting_is_said_before(frame: Frame) -> None:
    frame.show_work("One moment", 0.25, None)
    (bar,) = frame.findChildren(WorkBar)
    paints = Paints(bar)
    frame.paint_now()
    assert paints.seen > 0
    assert bar.words == "One moment, 25 %"


def test_a_window_that_may_not_close_stays(frame: Frame) -> None:
    frame.may_close = lambda: False
    assert not frame.close()
    assert frame.isVisible()
    frame.may_close = lambda: True
    assert frame.close()
