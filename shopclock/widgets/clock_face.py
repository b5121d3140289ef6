"""The running clock: as large as fits, and its digits do not dance."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QSizePolicy

from shopclock.widgets.drawing import PaintedGround
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.widgets.style import Style

_PROBE_PX = 200


class ClockFace(PaintedGround):
    """A time such as 0:47:12. Each digit has its own cell, so that a 1 moves nothing."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._text = ""
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    @property
    def text(self) -> str:
        """The time it shows."""
        return self._text

    def set_text(self, text: str) -> None:
        """Show this time; nothing is drawn again when it is the same."""
        if text != self._text:
            self._text = text
            self.setAccessibleName(text)
            self.update()

    def font_px(self) -> int:
        """The size of its font, px: the largest at which the text fits."""
        if not self._text:
            return 1
        probe = self._metrics(_PROBE_PX)
        wide = sum(_cell(probe, sign) for sign in self._text)
        high = probe.capHeight() * 1.04
        return max(1, int(_PROBE_PX * min(self.width() / wide, self.height() / high)))

    def digit_height(self) -> float:
        """Height of its digits, px."""
        return self._metrics(self.font_px()).capHeight()

    def lefts(self) -> list[float]:
        """Left of each sign's cell, px; the same for all texts with as many signs."""
        metrics = self._metrics(self.font_px())
        cells = [_cell(metrics, sign) for sign in self._text]
        start = (self.width() - sum(cells)) / 2
        return [start + sum(cells[:i]) for i in range(len(cells))]

    def minimumSizeHint(self) -> QSize:
        """Room for h:mm:ss with digits of 17.5 mm."""
        metrics = self._metrics(self._look.sizes.clock_text_min)
        wide = sum(_cell(metrics, sign) for sign in "0:00:00")
        return QSize(round(wide + 1), round(metrics.capHeight() * 1.04 + 1))

    def sizeHint(self) -> QSize:
        """Room for digits of 30 mm."""
        return self.minimumSizeHint() * (30 / 17.5)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Fill the ground and write the digits, each in the middle of its cell."""
        surface = self.surface()
        with QPainter(self) as p:
            p.fillRect(self.rect(), QColor(surface.ground))
            p.setPen(QColor(surface.text))
            p.setFont(self._look.font(self.font_px(), Weight.BOLD))
            self._write(p, QFontMetricsF(p.font()))

    def _write(self, p: QPainter, metrics: QFontMetricsF) -> None:
        base = (self.height() + metrics.capHeight()) / 2
        for sign, left in zip(self._text, self.lefts(), strict=True):
            raised = (metrics.capHeight() - metrics.xHeight()) / 2 if sign == ":" else 0.0
            x = left + (_cell(metrics, sign) - metrics.horizontalAdvance(sign)) / 2
            p.drawText(QPointF(x, base - raised), sign)

    def _metrics(self, px: int) -> QFontMetricsF:
        return QFontMetricsF(self._look.font(px, Weight.BOLD))


def _cell(metrics: QFontMetricsF, sign: str) -> float:
    if sign.isdigit():
        return max(metrics.horizontalAdvance(digit) for digit in "0123456789")
    return metrics.horizontalAdvance(sign)
