"""A table painted in rows that can be read: figures under figures, a thin line between head and rows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QSizePolicy

from shopclock.screens.trends.columns import fit_columns
from shopclock.screens.trends.state import Table
from shopclock.widgets.drawing import PaintedGround, measure
from shopclock.widgets.style import Weight
from shopclock.widgets.theme import accent

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.trends.columns import ColumnFit
    from shopclock.screens.trends.state import TableRow
    from shopclock.widgets.style import Style

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
