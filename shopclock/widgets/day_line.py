"""A day as one line: what was done by hand, what was stayed by, what waited, and the gaps between."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy

from shopclock.views.fit import TextBox
from shopclock.views.metrics import LEAST_PX
from shopclock.views.page import DayView
from shopclock.widgets.accessible import Part, Role
from shopclock.widgets.drawing import CENTRE, LEFT, PaintedGround, draw_fitted, draw_plate, measure
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from collections.abc import Iterable

    from PySide6.QtGui import QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.views.page import DayBarView
    from shopclock.widgets.style import Style
    from shopclock.widgets.theme import Surface

GAP = "gap"
"""The role of a bar that is only its words: nothing was done there."""
THIN = 1.25
"""The least height of a lane, in heights of its words."""


class DayLine(PaintedGround):
    """The line of one day; as high as it has lanes."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._state = DayView()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    @property
    def state(self) -> DayView:
        """State of it."""
        return self._state

    def show_state(self, state: DayView) -> None:
        """Show this day; nothing is drawn again when it is the same."""
        if state != self._state:
            self._state = state
            self.setAccessibleName("The day")
            self.setAccessibleDescription(state.spoken)
            self.updateGeometry()
            self.update()

    def reader_role(self) -> Role:
        """A chart."""
        return Role.Chart

    def reader_parts(self) -> list[Part]:
        """Lanes, times and bars."""
        said = [*self._state.lanes, *(text for _, text in self._state.ticks)]
        bars = [Part(bar.text, self.bar_rect(bar).toRect(), Role.ListItem) for bar in self._state.bars]
        return [*(Part(text, self.rect()) for text in said), *bars]

    def sizeHint(self) -> QSize:
        """Lanes one under the other, and the times under them."""
        sizes = self._look.sizes
        lanes = max(1, len(self._state.lanes))
        return QSize(sizes.touch * 3, round(lanes * self._lane_px() + sizes.small_text * 1.5))

    def minimumSizeHint(self) -> QSize:
        """Lanes as thin as their words allow."""
        small = self._look.sizes.small_text
        lanes = max(1, len(self._state.lanes))
        return QSize(self._look.sizes.touch, round(lanes * small * THIN + small * 1.5))

    def bar_rect(self, bar: DayBarView) -> QRectF:
        """Place of a bar, px."""
        area = self._area()
        high = area.height() / max(1, len(self._state.lanes))
        left = area.left() + bar.left * area.width()
        wide = max(2.0, (bar.right - bar.left) * area.width())
        return QRectF(left, area.top() + bar.lane * high + 2, wide, high - 4)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw times, lanes and bars."""
        with QPainter(self) as p:
            p.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._draw_times(p)
            self._draw_names(p)
            for bar in self._state.bars:
                self._draw_bar(p, bar)

    def _lane_px(self) -> float:
        return self._look.sizes.body_text * 1.8

    def _area(self) -> QRectF:
        """The room of the bars: right of the names, above the times."""
        small = self._look.sizes.small_text
        return QRectF(self.rect()).adjusted(self._names_wide() + small, 0, -1, -small * 1.5)

    def _names_wide(self) -> float:
        wide = measure(self._look, Weight.MEDIUM)
        return max((wide(name, self._look.sizes.small_text) for name in self._state.lanes), default=0.0)

    def _draw_times(self, p: QPainter) -> None:
        area, small = self._area(), self._look.sizes.small_text
        surface = self.surface()
        for share, text in _apart(self._state.ticks, area.width(), small * 3.2):
            x = area.left() + share * area.width()
            p.setPen(QPen(QColor(surface.line), 1))
            p.drawLine(QPointF(x, area.top()), QPointF(x, area.bottom() + small * 0.3))
            wide = small * 3.0
            left = min(max(x - wide / 2, 0.0), self.width() - wide)
            self._write(p, QRectF(left, area.bottom() + small * 0.25, wide, small * 1.25), text, surface.quiet)

    def _draw_names(self, p: QPainter) -> None:
        area, lanes = self._area(), self._state.lanes
        high = area.height() / max(1, len(lanes))
        for number, name in enumerate(lanes):
            row = QRectF(0, area.top() + number * high, self._names_wide() + 1, high)
            fitted = self._look.fitted(name, self._box(row), Weight.MEDIUM)
            draw_fitted(p, row, fitted, self._look, Weight.MEDIUM, self.surface().quiet, LEFT)

    def _draw_bar(self, p: QPainter, bar: DayBarView) -> None:
        rect = self.bar_rect(bar)
        surface = self.surface() if bar.role == GAP else self._look.surface(bar.role)
        if bar.role != GAP:
            self._draw_ground(p, rect, bar, surface)
        self._write(p, rect.adjusted(4, 0, -4, 0), bar.text, surface.quiet if bar.role == GAP else surface.text)

    def _draw_ground(self, p: QPainter, rect: QRectF, bar: DayBarView, surface: Surface) -> None:
        line = self.surface().text if bar.guessed else self.surface().line
        if rect.width() < 14:
            p.fillRect(rect, QColor(surface.ground))
        else:
            draw_plate(p, rect, surface.ground, line, width=1.5, dashed=bar.guessed)

    def _write(self, p: QPainter, rect: QRectF, text: str, colour: str) -> None:
        """Write words where they fit whole; a bar too short for them has none, the list says them."""
        if not text or rect.width() < LEAST_PX:
            return
        fitted = self._look.fitted(text, self._box(rect), Weight.SEMIBOLD)
        if not fitted.cut:
            draw_fitted(p, rect, fitted, self._look, Weight.SEMIBOLD, colour, CENTRE)

    def _box(self, rect: QRectF) -> TextBox:
        small = self._look.sizes.small_text
        least = max(LEAST_PX, round(small * 0.8))
        return TextBox(rect.width(), max(rect.height(), small * 1.3), small, least, least, lines=1)


def _apart(ticks: Iterable[tuple[float, str]], width: float, least_px: float) -> list[tuple[float, str]]:
    """Leave out the times that would stand too near to the one before."""
    kept: list[tuple[float, str]] = []
    for share, text in ticks:
        if not kept or (share - kept[-1][0]) * width >= least_px:
            kept.append((share, text))
    return kept
