"""A page with charts, and the turning of pages where they are long."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from shopclock.views.bars_picture import BarsPicture, LinesPicture
from shopclock.views.button import FIRST_PAGE, LAST_PAGE, Button
from shopclock.views.dots_picture import DotsPicture
from shopclock.widgets.accessible import Accessible
from shopclock.widgets.bars import Bars, TimeLines
from shopclock.widgets.dots import Dots
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QResizeEvent

    from shopclock.views.page import ChartView, PageState
    from shopclock.widgets.style import Style

SIDE = 0.25
"""The share of the width that the smaller chart has."""


class ChartBody(Accessible, QWidget):
    """One chart or two, with a row under them that turns the page."""

    pressed = Signal(object, object)

    def __init__(self, look: Style, now: Callable[[], object]) -> None:
        super().__init__()
        self._look = look
        self._now = now
        self._chart: ChartView | None = None
        self._page = 0
        self.bars, self.lines, self.dots, self.side = Bars(look), TimeLines(look), Dots(look), Bars(look)
        self._row = QHBoxLayout()
        self._row.addStretch(1)
        self.before, self.more = self._turner("Before", -1), self._turner("More", +1)
        charts = QHBoxLayout()
        for widget, interval in ((self.bars, 3), (self.lines, 3), (self.dots, 3), (self.side, 1)):
            charts.addWidget(widget, interval)
        self._charts = charts
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addLayout(charts, 1)
        self._column.addLayout(self._row)

    @property
    def main(self) -> Bars | TimeLines | Dots:
        """The chart that is shown."""
        shown = self._chart.main if self._chart is not None else None
        return (
            self.lines
            if isinstance(shown, LinesPicture)
            else self.dots
            if isinstance(shown, DotsPicture)
            else self.bars
        )

    def show_page(self, state: PageState) -> None:
        """Show the charts."""
        self._chart = state.chart
        self._show_charts()
        for widget in (self.bars, self.lines, self.dots):
            widget.setVisible(state.chart is not None and widget is self.main)
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lines, as many as fit."""
        super().resizeEvent(event)
        self._arrange()

    def _show_charts(self) -> None:
        chart = self._chart
        self.side.setVisible(chart is not None and chart.side is not None)
        if chart is None:
            return
        if isinstance(chart.main, BarsPicture):
            self.bars.show_picture(chart.main)
        elif isinstance(chart.main, DotsPicture):
            self.dots.show_picture(chart.main)
        else:
            self.lines.show_picture(chart.main)
        self.side.show_picture(chart.side or BarsPicture())

    def _arrange(self) -> None:
        """Lay out, then turn to a page that there is."""
        sizes = self._look.sizes
        self._column.setSpacing(sizes.gap // 2)
        self._row.setSpacing(sizes.gap)
        self._charts.setSpacing(round(2.5 * sizes.gap))
        self.side.setFixedWidth(round(self.width() * SIDE))
        self._show_turners(shown=False)
        if self._pages() > 1:
            self._show_turners(shown=True)
        self._turn_to(self._page)

    def _pages(self) -> int:
        self._column.activate()
        charts = [chart for chart in (self.main, self.side) if chart is self.main or chart.isVisibleTo(self)]
        return max(-(-chart.count() // chart.in_sight()) for chart in charts)

    def _turn_to(self, page: int) -> None:
        pages = self._pages()
        self._page = max(0, min(page, pages - 1))
        for chart in (self.main, self.side):
            last = max(0, chart.count() - 1) // chart.in_sight()
            chart.show_from(min(self._page, last) * chart.in_sight())
        detail = f"page {self._page + 1} of {pages}"
        first, last = self._page <= 0, self._page >= pages - 1
        self.before.show_state(Button("Before", role="raised", why_not=FIRST_PAGE if first else ""))
        self.more.show_state(Button("More", detail, role="raised", why_not=LAST_PAGE if last else ""))

    def _show_turners(self, *, shown: bool) -> None:
        for button in (self.before, self.more):
            button.setVisible(shown)
            button.setFixedSize(2 * self._look.sizes.touch, self._look.sizes.tab)

    def _turner(self, title: str, step: int) -> PressButton:
        button = PressButton(self._look, Button(title, role="raised"), self._now, bounce_ms=250, parent=self)
        button.pressed_at.connect(partial(self._turn, step))
        self._row.addWidget(button)
        return button

    def _turn(self, step: int, _came_down: object) -> None:
        self._turn_to(self._page + step)
