"""A table a page at a time, and the two buttons that turn its pages."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout

from shopclock.screens.trends.row import ButtonRow
from shopclock.screens.trends.sheet import Sheet
from shopclock.widgets.button_face import ButtonState
from shopclock.widgets.plate import Plate

if TYPE_CHECKING:
    from PySide6.QtGui import QResizeEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.trends.state import Table
    from shopclock.widgets.look import Look


class TablePages(Plate):
    """A plate with a table on it; `turners` stand wherever the screen has room for them."""

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, "plate", parent)
        self._first = 0
        self.sheet = Sheet(look)
        self.turners = ButtonRow(look, ("before", "more"))
        self.turners.pressed.connect(self._turn)
        column = QVBoxLayout(self)
        column.addWidget(self.sheet, 1)

    def show_table(self, table: Table) -> None:
        """Show a table; the page stays where it is as long as there is one."""
        self.sheet.show_table(table, self._first)
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """As many rows as fit."""
        super().resizeEvent(event)
        self._arrange()

    def _turn(self, key: str) -> None:
        self._first += self.sheet.rows_in_sight() * (1 if key == "more" else -1)
        self._arrange()

    def _arrange(self) -> None:
        margin = self._look.sizes.margin
        layout = self.layout()
        if layout is not None:
            layout.setContentsMargins(margin, margin // 2, margin, margin // 2)
        rows, page = len(self.sheet.table.rows), self.sheet.rows_in_sight()
        self._first = max(0, min(self._first, rows - 1) // page * page)
        self.turners.setVisible(rows > page or self._first > 0)
        number, of = self._first // page + 1, max(1, -(-rows // page))
        self.turners.show_states(
            {
                "before": ButtonState("Before", enabled=number > 1),
                "more": ButtonState("More", f"page {number} of {of}", enabled=number < of),
            }
        )
        self.sheet.show_table(self.sheet.table, self._first)
