"""Painted tables and facts, a page at a time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSizeF, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from shopclock.screens.trends.controls import Turners
from shopclock.screens.trends.state import Table
from shopclock.views.button import Button
from shopclock.widgets.drawing import PaintedGround, draw_plate, measure
from shopclock.widgets.plate import Plate
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.style import Weight
from shopclock.widgets.theme import accent

if TYPE_CHECKING:
    from PySide6.QtGui import QFont, QPaintEvent, QResizeEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.trends.state import Fact, StageLook, TableColumn, TableRow
    from shopclock.widgets.style import Style

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

    Room that is left is shared out between the columns; what is still too wide takes it from the widest.
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
    """Take from the widest column what is missing."""
    widest = needed.index(max(needed))
    needed[widest] = max(1.0, needed[widest] - (sum(needed) - width))
    return needed


def _placed(needed: list[float], width: float, px: int) -> ColumnFit:
    spare = max(0.0, width - sum(needed)) / max(1, len(needed))
    widths = [column + min(spare, 3.0 * px) for column in needed]
    return ColumnFit(tuple(sum(widths[:i]) for i in range(len(widths))), tuple(widths), px)


ROW = 1.75
"""Height of a row as a share of the font size."""
LEAST_PX = 12


class PaintedTable(PaintedGround):
    """A table, from its row `first` as far as there is room. It stands on a plate."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._table = Table()
        self._first = 0
        self.set_surface("plate")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    @property
    def table(self) -> Table:
        """What it shows."""
        return self._table

    def show_table(self, table: Table, first: int = 0) -> None:
        """Show a table from a row on."""
        if (table, first) != (self._table, self._first):
            self._table, self._first = table, first
            self.setAccessibleName("; ".join(", ".join(row.cells) for row in table.rows))
            self.update()

    def rows_in_sight(self) -> int:
        """How many rows there is room for under the head."""
        return max(1, int(self.height() / self._row_px()) - 1)

    def wide(self) -> float:
        """How wide it would like to be, px."""
        return sum(self._fitted(float("inf"), self._size()).widths) if self._table.columns else 0.0

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Write the head, a line, and the rows."""
        if not self._table.columns:
            return
        fit = self._fitted(self.width(), self._size())
        high = self._row_px()
        heads = tuple(column.head for column in self._table.columns)
        rows = self._table.rows[self._first : self._first + self.rows_in_sight()]
        with QPainter(self) as p:
            self._write(p, fit, heads, 0.0, (self.surface().quiet,) * len(heads))
            p.fillRect(QRectF(0, high - 1, self.width(), 1), QColor(self.surface().line))
            for number, row in enumerate(rows, 1):
                self._write(p, fit, row.cells, number * high, self._inks(row))

    def _write(self, p: QPainter, fit: ColumnFit, texts: tuple[str, ...], top: float, inks: tuple[str, ...]) -> None:
        font = self._look.font(fit.px)
        p.setFont(font)
        cells = zip(self._table.columns, fit.lefts, fit.widths, texts, inks, strict=True)
        for column, left, width, text, ink in cells:
            p.setPen(QColor(ink))
            rect = QRectF(left, top, width - 1.0 * fit.px, self._row_px())
            side = Qt.AlignmentFlag.AlignRight if column.figures else Qt.AlignmentFlag.AlignLeft
            shown = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, rect.width() + 1)
            p.drawText(rect, side | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine, shown)

    def _inks(self, row: TableRow) -> tuple[str, ...]:
        surface = self.surface()
        plain, marked = (surface.quiet if row.quiet else surface.text), accent(self._look.theme, surface, row.role)
        return tuple(marked if column.marked else plain for column in self._table.columns)

    def _fitted(self, width: float, largest: int) -> ColumnFit:
        texts = [
            [column.head, *(row.cells[i] for row in self._table.rows)] for i, column in enumerate(self._table.columns)
        ]
        return fit_columns(texts, width, (largest, LEAST_PX), measure(self._look, Weight.MEDIUM))

    def _size(self) -> int:
        return max(LEAST_PX, round(self._look.sizes.small_text * 1.05))

    def _row_px(self) -> float:
        return ROW * self._size()


NAME_SHARE = 0.2
GAP = 0.45
"""Between two facts, in font sizes."""
LEAST = 0.9
"""How much smaller than small text they may be written, so that all are in sight at once."""
_WRAP = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)


class FactsSheet(PaintedGround):
    """Facts on a plate, a page of them from `first` on where not all can be read at once."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._facts: tuple[Fact, ...] = ()
        self._first = 0
        self.set_surface("plate")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    @property
    def facts(self) -> tuple[Fact, ...]:
        """What it says."""
        return self._facts

    def show_facts(self, facts: tuple[Fact, ...], first: int = 0) -> None:
        """Say these, from one on."""
        if (facts, first) != (self._facts, self._first):
            self._facts, self._first = facts, first
            self.setAccessibleName(" ".join(f"{fact.name}: {fact.text}" for fact in facts))
            self.update()

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
        until = next((start for start in self.starts() if start > self._first), len(self._facts))
        heights = self._heights(px)
        with QPainter(self) as p:
            for number in range(self._first, until):
                self._write(p, self._facts[number], px, QRectF(0, top, self.width(), heights[number]))
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
            for fact in self._facts
        ]


def _high(font: QFont, text: str, width: float) -> float:
    return float(QFontMetricsF(font).boundingRect(QRectF(0, 0, max(1.0, width), 10_000), _WRAP, text).height())


class PagedRows(Plate):
    """A plate with pages on it; `turners` stand wherever the screen has room for them."""

    def __init__(self, look: Style, body: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(look, "plate", parent)
        self._page = 0
        self.turners = Turners(look)
        self.turners.turned.connect(self._turn)
        self._column = QVBoxLayout(self)
        self._column.addWidget(body, 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """As much as fits."""
        super().resizeEvent(event)
        self._arrange()

    def starts(self) -> list[int]:
        """What each page begins with."""
        raise NotImplementedError

    def show_from(self, first: int) -> None:
        """Show the page that begins with this."""
        raise NotImplementedError

    def _turn(self, pages: int) -> None:
        self._page += pages
        self._arrange()

    def _arrange(self) -> None:
        margin = self._look.sizes.margin
        self._column.setContentsMargins(margin, margin // 2, margin, margin // 2)
        self._column.activate()
        starts = self.starts()
        self._page = max(0, min(self._page, len(starts) - 1))
        self.turners.show_page(self._page, len(starts))
        self.show_from(starts[self._page])


class TablePages(PagedRows):
    """A table a page at a time."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        self.sheet = PaintedTable(look)
        super().__init__(look, self.sheet, parent)

    def show_table(self, table: Table) -> None:
        """Show a table; the page stays where it is as long as there is one."""
        self.sheet.show_table(table)
        self._arrange()

    def starts(self) -> list[int]:
        """The row that each page begins with."""
        return list(range(0, max(1, len(self.sheet.table.rows)), self.sheet.rows_in_sight()))

    def show_from(self, first: int) -> None:
        """Show the rows from this one on."""
        self.sheet.show_table(self.sheet.table, first)


class FactPages(PagedRows):
    """Facts a page at a time."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        self.sheet = FactsSheet(look)
        super().__init__(look, self.sheet, parent)

    def show_facts(self, facts: tuple[Fact, ...]) -> None:
        """Say these; the page stays where it is as long as there is one."""
        self.sheet.show_facts(facts)
        self._arrange()

    def starts(self) -> list[int]:
        """The fact that each page begins with."""
        return self.sheet.starts()

    def show_from(self, first: int) -> None:
        """Say the facts from this one on."""
        self.sheet.show_facts(self.sheet.facts, first)


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
