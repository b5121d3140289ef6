"""Lines of the table of stages under a finger: one that is another's now takes no press, one that stayed does."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from shopclock.screens.trends.state import TableColumn, TableRow
from shopclock.screens.trends.tables import StagesTable
from shopclock.widgets.style import Style

HEADS = (TableColumn("Stage"), TableColumn("Usual", figures=True))


def lines(*stages: str) -> tuple[TableRow, ...]:
    return tuple(TableRow((stage, "12.0"), key=stage) for stage in stages)


def test_a_line_that_has_moved_takes_no_press_and_one_that_stayed_does(qtbot: QtBot, look: Style) -> None:
    look.bounce_ms = 500
    table = StagesTable(look)
    qtbot.addWidget(table)
    table.resize(600, 400)
    table.show()
    table.show_lines(HEADS, lines("bevels", "handles", "sharpen"))
    for button in table.buttons:
        button.hold_off(0)
    pressed: list[str] = []
    table.pressed.connect(pressed.append)
    table.show_lines(HEADS, lines("bevels", "sharpen", "handles"))
    for button in table.buttons:
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert pressed == ["bevels"]
