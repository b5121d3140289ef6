"""The route as the outline of a blade, or of a bar of stock, that fills as the pieces get on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QSizePolicy

from shopclock.views.route_state import RouteState
from shopclock.widgets.accessible import Part, Role
from shopclock.widgets.drawing import CENTRE, PaintedGround
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.widgets.style import Style

BLADE = (
    (0.0, 0.30), (0.24, 0.18), (0.24, 0.0), (0.80, 0.0), (0.86, 0.03), (0.91, 0.10), (0.95, 0.21), (0.98, 0.33),
    (1.0, 0.46), (0.98, 0.60), (0.95, 0.73), (0.91, 0.86), (0.86, 0.95), (0.80, 1.0), (0.275, 1.0), (0.24, 0.80),
    (0.0, 0.70),
)  # fmt: skip
"""The outline of a blade, tang at the left, as shares of length and height."""


def spread(centres: list[float], widths: list[float], total: float, gap: float) -> list[float]:
    """The left of each text so that none overlap and all stay within `total` px, as near to their centres as can be.

    When they don't fit together, the last ones run out of the room rather than over each other.
    """
    lefts: list[float] = []
    edge = 0.0
    for centre, width in zip(centres, widths, strict=True):
        lefts.append(max(edge, centre - width / 2))
        edge = lefts[-1] + width + gap
    limit = total
    for number in reversed(range(len(lefts))):
        lefts[number] = max(0.0, min(lefts[number], limit - widths[number]))
        limit = lefts[number] - gap
    return lefts


def outline(name: str, rect: QRectF) -> QPainterPath:
    """The closed line of a blade seen from its side, or of a bar."""
    path = QPainterPath()
    if name != "blade":
        path.addRect(rect)
        return path
    for number, (x, y) in enumerate(BLADE):
        point = QPointF(rect.left() + x * rect.width(), rect.top() + y * rect.height())
        if number:
            path.lineTo(point)
        else:
            path.moveTo(point)
    path.closeSubpath()
    return path


class RouteOutline(PaintedGround):
    """The route of a batch: how far it is filled, and where its pieces stand."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._state = RouteState()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_state(self, state: RouteState) -> None:
        """Show this route; nothing is drawn again when it is the same."""
        if state != self._state:
            self._state = state
            self.setAccessibleName(state.spoken)
            self.update()

    def reader_role(self) -> Role:
        """A picture."""
        return Role.Graphic

    def reader_parts(self) -> list[Part]:
        """Letters at their steps."""
        return [Part(text, self.rect()) for _, text in self._state.marks]

    def sizeHint(self) -> QSize:
        """The outline, and a line of letters under it."""
        sizes = self._look.sizes
        return QSize(sizes.touch * 3, round(sizes.body_text * 3.4))

    def minimumSizeHint(self) -> QSize:
        """Height of it likes to be, at least as wide as a touch target."""
        return QSize(self._look.sizes.touch, self.sizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw fill, scribed steps, outline and letters."""
        body = QRectF(self.rect()).adjusted(1, 1, -1, -self._look.sizes.body_text * 1.6)
        path = outline(self._state.outline, body)
        with QPainter(self) as p:
            p.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._draw_fill(p, body, path)
            p.setBrush(Qt.BrushStyle.NoBrush)
            p.setPen(QPen(QColor(self.surface().text), 1.5))
            p.drawPath(path)
            self._draw_marks(p, body)

    def _draw_fill(self, p: QPainter, body: QRectF, path: QPainterPath) -> None:
        steps = self._state.fills
        theme = self._look.theme
        filled = theme.dye if self._state.running else theme.text
        step = body.width() / max(1, len(steps))
        p.save()
        p.setClipPath(path)
        p.fillRect(body, QColor(theme.plate))
        for number, share in enumerate(steps):
            left = body.left() + number * step
            p.fillRect(QRectF(left, body.top(), step * share, body.height()), QColor(filled))
            p.setPen(QPen(QColor(theme.line), 1))
            if number:
                p.drawLine(QPointF(left, body.top()), QPointF(left, body.bottom()))
        p.restore()

    def _draw_marks(self, p: QPainter, body: QRectF) -> None:
        px = self._look.sizes.small_text
        p.setFont(self._look.font(px, Weight.SEMIBOLD))
        metrics = QFontMetricsF(p.font())
        step = body.width() / max(1, len(self._state.fills))
        centres = [(number + 0.5) * step + body.left() for number, _ in self._state.marks]
        widths = [metrics.horizontalAdvance(text) for _, text in self._state.marks]
        lefts = spread(centres, widths, self.width(), px * 0.5)
        top = body.bottom() + px * 0.25
        p.setPen(QPen(QColor(self.surface().text), 1.2))
        for (_, text), centre, width, left in zip(self._state.marks, centres, widths, lefts, strict=True):
            p.drawLine(QPointF(centre, body.center().y()), QPointF(centre, top))
            p.drawText(QRectF(left - 2, top, width + 4, px * 1.25), CENTRE, text)
