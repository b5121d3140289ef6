"""Facts one under the other: what each is about at the left, its words beside it in as many lines as they need."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QSizePolicy

from shopclock.widgets.drawn import Drawn
from shopclock.widgets.look import Weight

if TYPE_CHECKING:
    from PySide6.QtGui import QFont, QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.trends.state import Fact
    from shopclock.widgets.look import Look

NAME_SHARE = 0.2
GAP = 0.45
"""Between two facts, in font sizes."""
LEAST_PX = 12
_WRAP = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)


class FactsSheet(Drawn):
    """Facts on a plate, in the largest size in which all of them can be read at once."""

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._facts: tuple[Fact, ...] = ()
        self.set_surface("plate")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    @property
    def facts(self) -> tuple[Fact, ...]:
        """What it says."""
        return self._facts

    def show_facts(self, facts: tuple[Fact, ...]) -> None:
        """Say these."""
        if facts != self._facts:
            self._facts = facts
            self.setAccessibleName(" ".join(f"{fact.name}: {fact.text}" for fact in facts))
            self.update()

    def px(self) -> int:
        """The font size at which all is in sight."""
        largest = max(LEAST_PX, self._look.sizes.small_text)
        sizes = range(largest, LEAST_PX, -1)
        return next((px for px in sizes if sum(self._heights(px)) <= self.height()), LEAST_PX)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Write the facts."""
        px, top = self.px(), 0.0
        surface, left = self.surface(), self.width() * NAME_SHARE
        with QPainter(self) as p:
            for fact, high in zip(self._facts, self._heights(px), strict=True):
                p.setFont(self._look.font(px, Weight.SEMIBOLD))
                p.setPen(QColor(surface.quiet))
                p.drawText(QRectF(0, top, left - px, high), _WRAP, fact.name)
                p.setFont(self._look.font(px))
                p.setPen(QColor(surface.text))
                p.drawText(QRectF(left, top, self.width() - left, high), _WRAP, fact.text)
                top += high

    def _heights(self, px: int) -> list[float]:
        left, plain, bold = self.width() * NAME_SHARE, self._look.font(px), self._look.font(px, Weight.SEMIBOLD)
        return [
            max(_high(plain, fact.text, self.width() - left), _high(bold, fact.name, left - px)) + GAP * px
            for fact in self._facts
        ]


def _high(font: QFont, text: str, width: float) -> float:
    return float(QFontMetricsF(font).boundingRect(QRectF(0, 0, max(1.0, width), 10_000), _WRAP, text).height())
