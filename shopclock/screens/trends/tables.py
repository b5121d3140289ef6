"""Painted tables and facts, a page at a time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import zip_longest
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from shopclock.screens.trends.controls import Turners
from shopclock.views.button import Button
from shopclock.views.fit import LINE_HEIGHT, TextBox
from shopclock.views.metrics import LEAST_PX
from shopclock.widgets.accessible import Part, Role
from shopclock.widgets.button_face import draw_edge
from shopclock.widgets.drawing import LEFT, RIGHT, PaintedGround, draw_fitted, draw_plate, measure
from shopclock.widgets.plate import Plate
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.style import Weight
from shopclock.widgets.theme import accent

if TYPE_CHECKING:
    from PySide6.QtGui import QFont, QPaintEvent, QResizeEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.trends.state import Fact, Table, TableColumn, TableRow
    from shopclock.views.fit import FittedText
    from shopclock.widgets.style import Style
    from shopclock.widgets.theme import Surface

Wide = Callable[[str, int], float]
"""Width in px of a text at a font size in px."""


@dataclass(frozen=True, slots=True)
class ColumnFit:
    """Left edge and width of each column, px, and the font size at which all of it can be read."""

    lefts: tuple[float, ...]
    widths: tuple[float, ...]
    px: int


def fit_columns(texts: Sequence[Sequence[str]], width: float, sizes: tuple[int, int], wide: Wide) -> ColumnFit:
    """Fit columns, given the texts of each, into `width` px at the largest of the sizes (largest, least).

    Room that is left is shared out between the columns; what is still too wide takes it from the widest, all alike.
    """
    largest, least = sizes
    for px in range(largest, least - 1, -1):
        needed = _needed(texts, px, wide)
        if sum(needed) <= width:
            return _placed(needed, width, px)
    return _placed(_squeezed(_needed(texts, least, wide), width), width, least)


def _needed(texts: Sequence[Sequence[str]], px: int, wide: Wide) -> list[float]:
    return [max((wide(text, px) for text in column), default=0.0) + 1.2 * px for column in texts]


def _squeezed(needed: list[float], width: float) -> list[float]:
    """Take from the widest columns what is missing: none of them is wider than the others then."""
    most, rest, left = 0.0, width, len(needed)
    for column in sorted(needed):
        most = rest / left
        if column > most:
            break
        rest, left = rest - column, left - 1
    return [max(1.0, min(column, most)) for column in needed]


def _placed(needed: list[float], width: float, px: int) -> ColumnFit:
    spare = max(0.0, width - sum(needed)) / max(1, len(needed))
    widths = [column + min(spare, 3.0 * px) for column in needed]
    return ColumnFit(tuple(sum(widths[:i]) for i in range(len(widths))), tuple(widths), px)


class Cells(PaintedGround):
    """Rows of cells in columns under heads: figures at the right, what is marked in the colour of its row."""

    indent = 0.0
    """Room before a cell, in font sizes."""
    gap = 1.0
    """Room that a cell leaves of its column, in font sizes."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.columns: tuple[TableColumn, ...] = ()
        self.rows: tuple[TableRow, ...] = ()
        self.first = 0
        self._fitted_for: object = None
        self._fit = ColumnFit((), (), 0)
        self._lines = 1
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def reader_role(self) -> Role:
        """A list of rows: the columns are said with each."""
        return Role.List

    def rows_in_sight(self) -> int:
        """Number of rows that there is room for under the head."""
        raise NotImplementedError

    def starts(self) -> list[int]:
        """The row that each page begins with."""
        return list(range(0, max(1, len(self.rows)), self.rows_in_sight()))

    def in_sight(self) -> tuple[TableRow, ...]:
        """The rows of the page in sight."""
        return self.rows[self.first : self.first + self.rows_in_sight()]

    def fitted(self, width: float, largest: int) -> ColumnFit:
        """Places of the columns in so much room, px, no cell larger than this; worked out once, until that changes."""
        fitted_for = (self.columns, self.rows, width, largest)
        if fitted_for != self._fitted_for:
            texts = [[column.head, *(row.cells[i] for row in self.rows)] for i, column in enumerate(self.columns)]
            fit = fit_columns(texts, width, (largest, LEAST_PX), measure(self._look, Weight.MEDIUM))
            self._fitted_for, self._fit = fitted_for, fit
            self._lines = max(
                (self._lines_in(*both, fit.px) for both in zip(texts, fit.widths, strict=True)), default=1
            )
        return self._fit

    def lines_of_a_row(self, width: float, largest: int) -> int:
        """Number of lines that the fullest cell takes."""
        self.fitted(width, largest)
        return self._lines

    def _lines_in(self, texts: Sequence[str], width: float, px: int) -> int:
        """Return how many lines the fullest cell of a column takes."""
        wide, high = width - self.gap * px, MOST_LINES * LINE_HEIGHT * px
        long = [text for text in texts[1:] if self._look.width(text, px, Weight.MEDIUM) > wide + 1]
        return max((len(self._in_column(text, px, wide, high).lines) for text in long), default=1)

    def write_heads(self, p: QPainter, fit: ColumnFit, high: float) -> None:
        """Write the heads along the top."""
        heads, quiet = [column.head for column in self.columns], self.surface().quiet
        self._write(p, fit, heads, QRectF(0, 0, 0, high), [quiet] * len(heads))

    def write_row(self, p: QPainter, fit: ColumnFit, row: TableRow, line: QRectF, surface: Surface) -> None:
        """Write a row on this ground from the top of a line on, as high as the line."""
        marked, plain = accent(self._look.theme, surface, row.role), surface.quiet if row.quiet else surface.text
        self._write(p, fit, row.cells, line, [marked if column.marked else plain for column in self.columns])

    def _write(self, p: QPainter, fit: ColumnFit, texts: Sequence[str], line: QRectF, inks: Sequence[str]) -> None:
        for column, left, width, text, ink in zip(self.columns, fit.lefts, fit.widths, texts, inks, strict=True):
            wide = width - self.gap * fit.px
            rect = QRectF(left + self.indent * fit.px, line.top(), wide, line.height())
            written = self._in_column(text, fit.px, wide, line.height())
            draw_fitted(p, rect, written, self._look, Weight.MEDIUM, ink, RIGHT if column.figures else LEFT)

    def _in_column(self, text: str, px: int, wide: float, high: float) -> FittedText:
        """A cell as it is written: in one line, or in more where its column had to give way."""
        return self._look.fitted(text, TextBox(wide + 1, high, px, px, px), Weight.MEDIUM)


def row_text(row: TableRow) -> str:
    """Return a row in words."""
    return ", ".join(cell for cell in row.cells if cell)


ROW = 1.75
"""Height of a row of one line as a share of the font size."""
MOST_LINES = 3
"""A name in a column takes no more lines than these."""


class PaintedTable(Cells):
    """A table, from its row `first` as far as there is room. It stands on a plate."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.set_surface("plate")

    def show_table(self, table: Table) -> None:
        """Show a table; the page stays where it is as long as there is one."""
        if (table.columns, table.rows) != (self.columns, self.rows):
            self.columns, self.rows = table.columns, table.rows
            self.setAccessibleName(", ".join(column.head for column in table.columns if column.head))
            self.update()

    def show_from(self, first: int) -> None:
        """Show the rows from this one on."""
        if first != self.first:
            self.first = first
            self.update()

    def reader_parts(self) -> list[Part]:
        """The rows of the page in sight."""
        high = self._high()
        return [
            Part(row_text(row), QRect(0, round(self._head() + number * high), self.width(), round(high)), Role.ListItem)
            for number, row in enumerate(self.in_sight())
        ]

    def rows_in_sight(self) -> int:
        """Number of rows that there is room for under the head."""
        return max(1, int((self.height() - self._head()) / self._high()))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Write the head, a line, and the rows."""
        if not self.columns:
            return
        surface, fit, head, high = self.surface(), self.fitted(self.width(), self._px()), self._head(), self._high()
        with QPainter(self) as p:
            self.write_heads(p, fit, head)
            p.fillRect(QRectF(0, head - 1, self.width(), 1), QColor(surface.line))
            for number, row in enumerate(self.in_sight()):
                self.write_row(p, fit, row, QRectF(0, head + number * high, self.width(), high), surface)

    def _head(self) -> float:
        return ROW * self._px()

    def _high(self) -> float:
        """Height of a row, px: of as many lines as its fullest cell takes."""
        lines, px = self.lines_of_a_row(self.width(), self._px()), self.fitted(self.width(), self._px()).px
        return self._head() + (lines - 1) * LINE_HEIGHT * px

    def _px(self) -> int:
        return max(LEAST_PX, round(self._look.sizes.small_text * 1.05))


NAME_SHARE = 0.2
GAP = 0.45
"""Between two facts, in font sizes."""
LEAST = 0.9
"""Least font size as a share of small text, so that all are in sight at once."""
_WRAP = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)


class FactsSheet(PaintedGround):
    """Facts on a plate, a page of them from `first` on where not all can be read at once."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.facts: tuple[Fact, ...] = ()
        self._first = 0
        self.set_surface("plate")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_facts(self, facts: tuple[Fact, ...]) -> None:
        """Say these; the page stays where it is as long as there is one."""
        if facts != self.facts:
            self.facts = facts
            self.setAccessibleName("How this was worked out")
            self.update()

    def show_from(self, first: int) -> None:
        """Say the facts from this one on."""
        if first != self._first:
            self._first = first
            self.update()

    def reader_role(self) -> Role:
        """A list."""
        return Role.List

    def reader_parts(self) -> list[Part]:
        """The facts of the page in sight."""
        facts, whole = self.facts[self._first : self._until()], self.rect()
        return [Part(f"{fact.name}: {fact.text}", whole, Role.ListItem) for fact in facts]

    def _until(self) -> int:
        """The fact that the next page begins with."""
        return next((start for start in self.starts() if start > self._first), len(self.facts))

    def px(self) -> int:
        """The font size: the largest in which all are in sight, not too small to be read."""
        largest = self._look.sizes.small_text
        least = max(12, round(LEAST * largest))
        fitting = (px for px in range(largest, least - 1, -1) if sum(self._heights(px)) <= self.height())
        return next(fitting, least)

    def starts(self) -> list[int]:
        """The fact that each page begins with."""
        starts, used = [0], 0.0
        for number, high in enumerate(self._heights(self.px())):
            if used + high > self.height() and used:
                starts.append(number)
                used = 0.0
            used += high
        return starts

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Write the facts of the page in sight."""
        px, top = self.px(), 0.0
        until = self._until()
        heights = self._heights(px)
        with QPainter(self) as p:
            for number in range(self._first, until):
                self._write(p, self.facts[number], px, QRectF(0, top, self.width(), heights[number]))
                top += heights[number]

    def _write(self, p: QPainter, fact: Fact, px: int, rect: QRectF) -> None:
        surface, left = self.surface(), self.width() * NAME_SHARE
        p.setFont(self._look.font(px, Weight.SEMIBOLD))
        p.setPen(QColor(surface.quiet))
        p.drawText(QRectF(0, rect.top(), left - px, rect.height()), _WRAP, fact.name)
        p.setFont(self._look.font(px))
        p.setPen(QColor(surface.text))
        p.drawText(rect.adjusted(left, 0, 0, 0), _WRAP, fact.text)

    def _heights(self, px: int) -> list[float]:
        left, plain, bold = self.width() * NAME_SHARE, self._look.font(px), self._look.font(px, Weight.SEMIBOLD)
        return [
            max(_high(plain, fact.text, self.width() - left), _high(bold, fact.name, left - px)) + GAP * px
            for fact in self.facts
        ]


def _high(font: QFont, text: str, width: float) -> float:
    return float(QFontMetricsF(font).boundingRect(QRectF(0, 0, max(1.0, width), 10_000), _WRAP, text).height())


class PagedRows(Plate):
    """A plate with a table or facts on it; `turners` stand wherever the screen has room for them."""

    def __init__(self, look: Style, sheet: PaintedTable | FactsSheet, parent: QWidget | None = None) -> None:
        super().__init__(look, "plate", parent)
        self.turners = Turners(look, sheet)
        self._column = QVBoxLayout(self)
        self._column.addWidget(sheet, 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay out as much as fits."""
        super().resizeEvent(event)
        self.arrange()

    def arrange(self) -> None:
        """Lay out, and show a page that there is."""
        margin = self._look.sizes.margin
        self._column.setContentsMargins(margin, margin // 2, margin, margin // 2)
        self._column.activate()
        self.turners.turn()


class LineButton(PressButton):
    """A line of the table to press."""

    def __init__(self, table: StagesTable, look: Style) -> None:
        super().__init__(look, Button(""), parent=table)
        self._table = table
        self._line: TableRow | None = None

    def show_line(self, line: TableRow) -> None:
        """Show this line."""
        self._line = line
        edge = "text" if line.told else ""
        self.show_state(Button(line.cells[0], ", ".join(cell for cell in line.cells[1:] if cell), edge=edge))
        self.update()

    def draw(self, p: QPainter, rect: QRectF) -> None:
        """A plate with the cells in their columns."""
        surface = self.apply_style()
        draw_plate(p, rect, surface.ground, surface.line)
        draw_edge(p, self.state, rect, self._look)
        if self._line is not None:
            line = QRectF(0, 0, rect.width(), rect.height())
            self._table.write_row(p, self._table.fit(), self._line, line, surface)
        self.draw_ring(p, rect, surface)


class StagesTable(Cells):
    """A head and lines to press, a page at a time; `pressed` carries the key of the stage."""

    pressed = Signal(str)
    indent, gap = 0.9, 1.2

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.buttons: list[LineButton] = []

    def show_lines(self, columns: tuple[TableColumn, ...], lines: tuple[TableRow, ...]) -> None:
        """Show these. On a line that is another's now a press that is on its way does nothing."""
        before = [line.key for line in self.in_sight()]
        self.columns, self.rows = columns, lines
        self.setAccessibleName(", ".join(column.head for column in columns if column.head))
        self._arrange()
        for button, was, line in zip_longest(self.buttons, before, self.in_sight()):
            if button is not None and line is not None and line.key != was:
                button.hold_off()

    def show_from(self, first: int) -> None:
        """Show the lines from this one on."""
        self.first = first
        self._arrange()

    def rows_in_sight(self) -> int:
        """Number of lines that there is room for under the head."""
        step = self._look.sizes.row + self._between()
        return max(1, int((self.height() - self._head() + self._between()) // step))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay out as many as fit."""
        super().resizeEvent(event)
        self._arrange()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Write the head."""
        with QPainter(self) as p:
            self.write_heads(p, self.fit(), self._head())

    def fit(self) -> ColumnFit:
        """Places of the columns, on the head and on every line."""
        px = max(LEAST_PX, self._look.sizes.body_text)
        return self.fitted(self.width() - self.indent * px, px)

    def _arrange(self) -> None:
        shown = self.in_sight()
        while len(self.buttons) < len(shown):
            button = LineButton(self, self._look)
            button.pressed_at.connect(partial(self._press, len(self.buttons)))
            self.buttons.append(button)
        high, between = self._look.sizes.row, self._between()
        for number, button in enumerate(self.buttons):
            button.setVisible(number < len(shown))
            if number < len(shown):
                button.show_line(shown[number])
                button.setGeometry(0, round(self._head() + number * (high + between)), self.width(), high)
        self.update()

    def _press(self, number: int, _came_down: object) -> None:
        self.pressed.emit(self.rows[self.first + number].key)

    def _head(self) -> float:
        return 1.6 * self._look.sizes.small_text

    def _between(self) -> int:
        return round(self._look.sizes.px_mm * 2.0 + 0.5)
