"""All stages: where the most is to be won, and a line for each that opens it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from shopclock.screens.trends.heading import Heading
from shopclock.screens.trends.row import ButtonRow
from shopclock.screens.trends.stages_table import StagesTable
from shopclock.screens.trends.turners import Turners
from shopclock.views.button import Button
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from PySide6.QtGui import QResizeEvent

    from shopclock.screens.trends.state import StagesState
    from shopclock.widgets.style import Style


class TrendStagesPage(QWidget):
    """Says which stage was pressed, or that the maker wants to the Bench."""

    stage_pressed = Signal(str)
    bench_pressed = Signal()

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._page = 0
        self.sentence, self.more = Heading(look, "sentence"), Heading(look, "quiet")
        self.table, self.whole, self.turners = StagesTable(look), ButtonRow(look, ("whole",)), Turners(look)
        self.bench = PressButton(look, Button("To the Bench", role="primary"))
        self._bottom = QHBoxLayout()
        self._bottom.addWidget(self.whole)
        self._bottom.addStretch(1)
        self._bottom.addWidget(self.turners)
        self._column = QVBoxLayout(self)
        for widget in (self.sentence, self.more):
            self._column.addWidget(widget)
        self._column.addWidget(self.table, 1)
        self._column.addLayout(self._bottom)
        self._column.addWidget(self.bench, 0, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        self._connect()
        self._redress()

    def render_state(self, state: StagesState) -> None:
        """Draw this."""
        self.sentence.set_text(state.sentence)
        self.more.set_text(state.more)
        self.more.setVisible(bool(state.more))
        self.table.setVisible(not state.to_bench)
        self.bench.setVisible(state.to_bench)
        self.whole.show_states({"whole": Button(state.whole)} if state.whole else {})
        self.table.show_lines(state.columns, state.lines)
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """As many lines as fit."""
        super().resizeEvent(event)
        self._arrange()

    def _connect(self) -> None:
        self.table.pressed.connect(self.stage_pressed)
        self.whole.pressed.connect(lambda _key: self.stage_pressed.emit("0"))
        self.turners.turned.connect(self._turn)
        self.bench.pressed_at.connect(lambda _came_down: self.bench_pressed.emit())
        self._look.changed.connect(self._redress)

    def _turn(self, pages: int) -> None:
        self._page += pages
        self._arrange()

    def _arrange(self) -> None:
        """Turn to a page that there is."""
        self._column.activate()
        starts = self.table.starts()
        self._page = max(0, min(self._page, len(starts) - 1))
        self.turners.show_page(self._page, len(starts))
        self.table.show_from(starts[self._page])

    def _redress(self) -> None:
        sizes = self._look.sizes
        self._column.setContentsMargins(sizes.margin, 0, sizes.margin, sizes.margin)
        self._column.setSpacing(sizes.gap)
        self._bottom.setSpacing(sizes.gap)
        self.bench.setFixedSize(3 * sizes.touch, sizes.touch)
