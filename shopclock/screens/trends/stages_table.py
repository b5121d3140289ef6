"""The table of all stages: each line is a button."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSizeF, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QSizePolicy

from shopclock.screens.trends.columns import fit_columns
from shopclock.views.button import Button
from shopclock.widgets.drawing import PaintedGround, draw_plate, measure
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.style import Weight
from shopclock.widgets.theme import accent

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent, QResizeEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.trends.columns import ColumnFit
    from shopclock.screens.trends.state import StageLook, TableColumn
    from shopclock.widgets.style import Style

LEAST_PX = 12
PAD = 0.9
"""Room at both ends of a line, in font sizes."""


class LineButton(PressButton):
    """A line of the table to press."""

    def __init__(self, table: StagesTable, look: Style) -> None:
        super().__init__(look, Button(""), parent=table)
        self._table = table
        self._line: StageLook | None = None

    def show_line(self, line: StageLook) -> None:
        """Show this line."""
        self._line = line
        self.show_state(Button(line.cells[0], ", ".join(cell for cell in line.cells[1:] if cell)))
        self.update()

    def draw(self, p: QPainter, rect: QRectF) -> None:
        """A plate with the cells in their columns."""
        surface = self.apply_style()
        draw_plate(p, rect, surface.ground, surface.line)
        if self._line is not None:
            self._table.write(
                p, rect.size(), self._line, accent(self._look.theme, surface, self._line.role), surface.text
            )
        self.draw_ring(p, rect, surface)


class StagesTable(PaintedGround):
    """A head and lines, a page at a time; `pressed` carries the key of the stage."""

    pressed = Signal(str)

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._columns: tuple[TableColumn, ...] = ()
        self._lines: tuple[StageLook, ...] = ()
        self._first = 0
        self.buttons: list[LineButton] = []
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_lines(self, columns: tuple[TableColumn, ...], lines: tuple[StageLook, ...]) -> None:
        """Show these. Where they have moved, a press that is on its way does nothing."""
        moved = [line.key for line in lines] != [line.key for line in self._lines]
        self._columns, self._lines = columns, lines
        self._arrange()
        for button in self.buttons if moved else ():
            button.hold_off()

    def starts(self) -> list[int]:
        """The line that each page begins with."""
        return list(range(0, max(1, len(self._lines)), self.lines_in_sight()))

    def show_from(self, first: int) -> None:
        """Show the lines from this one on."""
        self._first = first
        self._arrange()

    def lines_in_sight(self) -> int:
        """How many lines there is room for under the head."""
        step = self._look.sizes.tab + self._between()
        return max(1, int((self.height() - self._head() + self._between()) // step))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """As many as fit."""
        super().resizeEvent(event)
        self._arrange()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Write the head."""
        fit, quiet = self._fitted(), self.surface().quiet
        with QPainter(self) as p:
            texts = tuple(column.head for column in self._columns)
            self._write(p, fit, texts, self._head(), (quiet,) * len(texts))

    def write(self, p: QPainter, size: QSizeF, line: StageLook, marked: str, plain: str) -> None:
        """Write the cells of a line on a button of this size."""
        inks = tuple(marked if column.marked else plain for column in self._columns)
        self._write(p, self._fitted(), line.cells, size.height(), inks)

    def _write(self, p: QPainter, fit: ColumnFit, texts: tuple[str, ...], high: float, inks: tuple[str, ...]) -> None:
        font = self._look.font(fit.px)
        p.setFont(font)
        for column, left, width, text, ink in zip(self._columns, fit.lefts, fit.widths, texts, inks, strict=True):
            rect = QRectF(left + PAD * fit.px, 0, width - 1.2 * fit.px, high)
            side = Qt.AlignmentFlag.AlignRight if column.figures else Qt.AlignmentFlag.AlignLeft
            p.setPen(QColor(ink))
            shown = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, rect.width() + 1)
            p.drawText(rect, side | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine, shown)

    def _fitted(self) -> ColumnFit:
        texts = [[column.head, *(line.cells[i] for line in self._lines)] for i, column in enumerate(self._columns)]
        px = max(LEAST_PX, self._look.sizes.body_text)
        return fit_columns(texts, self.width() - PAD * px, (px, LEAST_PX), measure(self._look, Weight.MEDIUM))

    def _arrange(self) -> None:
        shown = self._lines[self._first : self._first + self.lines_in_sight()]
        while len(self.buttons) < len(shown):
            self._add_button()
        tab, between = self._look.sizes.tab, self._between()
        for number, button in enumerate(self.buttons):
            button.setVisible(number < len(shown))
            if number < len(shown):
                button.show_line(shown[number])
                button.setGeometry(0, round(self._head() + number * (tab + between)), self.width(), tab)
        self.update()

    def _add_button(self) -> None:
        button = LineButton(self, self._look)
        button.pressed_at.connect(partial(self._press, len(self.buttons)))
        self.buttons.append(button)

    def _press(self, number: int, _came_down: object) -> None:
        self.pressed.emit(self._lines[self._first + number].key)

    def _head(self) -> float:
        return 1.6 * self._look.sizes.small_text

    def _between(self) -> int:
        return max(3, self._look.sizes.gap // 3)
