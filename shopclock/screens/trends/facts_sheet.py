"""Facts one under the other: what each is about at the left, its words beside it in as many lines as they need."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QSizePolicy

from shopclock.widgets.drawing import PaintedGround
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from PySide6.QtGui import QFont, QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.trends.state import Fact
    from shopclock.widgets.style import Style

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
