"""What is read a page at a time: a table, or facts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout, QWidget

from shopclock.screens.trends.facts_sheet import FactsSheet
from shopclock.screens.trends.sheet import PaintedTable
from shopclock.screens.trends.turners import Turners
from shopclock.widgets.plate import Plate

if TYPE_CHECKING:
    from PySide6.QtGui import QResizeEvent

    from shopclock.screens.trends.state import Fact, Table
    from shopclock.widgets.style import Style


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
