"""The marks of a chart are reached by keys: arrows go from one to the next, Enter presses the chosen one again."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from shopclock.views.chart_picture import Dot, Picture, Series
from shopclock.widgets.chart import Chart

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style

DOTS = (Dot("9:1", 3.0, 12.0), Dot("4:1", 1.0, 20.0), Dot("7:1", 2.0, 15.0))
OTHERS = (Dot("", 0.5, 30.0), Dot("8:2", 2.5, 11.0))


@pytest.fixture
def chart(qtbot: QtBot, look: Style) -> Chart:
    chart = Chart(look)
    qtbot.addWidget(chart)
    series = (Series("freehand", "", "dye", "o", False, DOTS), Series("jig", "", "straw", "s", False, OTHERS))
    chart.show_picture(Picture(series, None, 0.0, 4.0))
    chart.pressed.connect(lambda key: chart.show_picture(replace(chart.picture, chosen=key)))
    chart.resize(600, 400)
    chart.show()
    return chart


@pytest.mark.parametrize(
    ("keys", "chosen"),
    [
        ([Qt.Key.Key_Right], "4:1"),
        ([Qt.Key.Key_Left], "9:1"),
        ([Qt.Key.Key_Right, Qt.Key.Key_Right], "7:1"),
        ([Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_Right], "8:2"),
        ([Qt.Key.Key_Home, Qt.Key.Key_Left], "4:1"),
        ([Qt.Key.Key_End, Qt.Key.Key_Right], "9:1"),
        ([Qt.Key.Key_End, Qt.Key.Key_Left], "8:2"),
        ([Qt.Key.Key_Return], ""),
    ],
)
def test_arrows_go_from_mark_to_mark(chart: Chart, keys: list[Qt.Key], chosen: str) -> None:
    for key in keys:
        QTest.keyClick(chart, key)
    assert chart.picture.chosen == chosen


def test_enter_presses_the_chosen_mark_again(chart: Chart, qtbot: QtBot) -> None:
    QTest.keyClick(chart, Qt.Key.Key_Home)
    with qtbot.waitSignal(chart.pressed) as heard:
        QTest.keyClick(chart, Qt.Key.Key_Return)
    assert heard.args == ["4:1"]


def test_a_chart_without_marks_takes_no_key(look: Style, qtbot: QtBot) -> None:
    empty = Chart(look)
    qtbot.addWidget(empty)
    heard: list[str] = []
    empty.pressed.connect(heard.append)
    for key in (Qt.Key.Key_Right, Qt.Key.Key_Home, Qt.Key.Key_Return):
        QTest.keyClick(empty, key)
    assert heard == []
