"""The running clock: as large as fits, and its digits do not dance."""

from __future__ import annotations

from itertools import accumulate
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QSizePolicy

from shopclock.widgets.accessible import Role
from shopclock.widgets.drawing import PaintedGround
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.widgets.style import Style

_PROBE_PX = 200
_DIGITS = "0123456789"
_SIZES_KEPT = 8
"""Font sizes whose widths are kept: far more than a clock has, unless its window is being drawn larger."""


class _Signs(dict[str, float]):
    """Widths of a clock's signs at one font size, px, each measured once; `cell` is that of a digit's place."""

    def __init__(self, metrics: QFontMetricsF) -> None:
        super().__init__()
        self._metrics = metrics
        self.cap, self.low = metrics.capHeight(), metrics.xHeight()
        self.cell = max(self[digit] for digit in _DIGITS)

    def __missing__(self, sign: str) -> float:
        self[sign] = self._metrics.horizontalAdvance(sign)
        return self[sign]

    def cells(self, text: str) -> list[float]:
        """Width of each sign's place, px."""
        return [self.cell if sign.isdigit() else self[sign] for sign in text]


def spoken_time(text: str) -> str:
    """Say a clock's time without its seconds, so that a screen reader is told of it once a minute: 1 h 47 min."""
    hours, _, rest = text.partition(":")
    minutes = rest.partition(":")[0]
    if not (hours.isdigit() and minutes.isdigit()):
        return text
    return f"{int(hours)} h {int(minutes)} min" if int(hours) else f"{int(minutes)} min"


class ClockFace(PaintedGround):
    """A time such as 0:47:12. Each digit has its own cell, so that a 1 moves nothing."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._text = ""
        self._signs: dict[int, _Signs] = {}
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def reader_role(self) -> Role:
        """Text: what Qt calls a clock is nothing known to the readers of Linux."""
        return Role.StaticText

    @property
    def text(self) -> str:
        """The time it shows."""
        return self._text

    def set_text(self, text: str) -> None:
        """Show this time; only the signs that are others now are drawn again."""
        if text == self._text:
            return
        before, self._text = self._text, text
        if (said := spoken_time(text)) != self.accessibleName():
            self.setAccessibleName(said)
        if len(text) != len(before) or [s.isdigit() for s in text] != [s.isdigit() for s in before]:
            self.update()
            return
        first = next(n for n, (now, then) in enumerate(zip(text, before, strict=True)) if now != then)
        left = int(self.lefts()[first]) - 1
        self.update(left, 0, self.width() - left, self.height())

    def font_px(self) -> int:
        """The size of its font, px: the largest at which the text fits."""
        if not self._text:
            return 1
        probe = self._at(_PROBE_PX)
        wide, high = sum(probe.cells(self._text)), probe.cap * 1.04
        return max(1, int(_PROBE_PX * min(self.width() / wide, self.height() / high)))

    def digit_height(self) -> float:
        """Height of its digits, px."""
        return self._at(self.font_px()).cap

    def lefts(self) -> list[float]:
        """Left of each sign's cell, px; the same for all texts with as many signs."""
        cells = self._at(self.font_px()).cells(self._text)
        return list(accumulate(cells[:-1], initial=(self.width() - sum(cells)) / 2))

    def minimumSizeHint(self) -> QSize:
        """Room for h:mm:ss with digits of 17.5 mm."""
        signs = self._at(self._look.sizes.clock_text_min)
        return QSize(round(sum(signs.cells("0:00:00")) + 1), round(signs.cap * 1.04 + 1))

    def sizeHint(self) -> QSize:
        """Room for digits of 30 mm."""
        return self.minimumSizeHint() * (30 / 17.5)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Fill the ground and write the digits, each in the middle of its cell."""
        surface = self.surface()
        with QPainter(self) as p:
            p.fillRect(event.rect(), QColor(surface.ground))
            p.setPen(QColor(surface.text))
            if self._text:
                self._write(p, event.rect().left())

    def _write(self, p: QPainter, begin: int) -> None:
        """Write what reaches beyond `begin`, px from the left."""
        px = self.font_px()
        signs = self._at(px)
        p.setFont(self._look.font(px, Weight.BOLD))
        base = (self.height() + signs.cap) / 2
        for sign, left, cell in zip(self._text, self.lefts(), signs.cells(self._text), strict=True):
            if left + cell + 1 >= begin:
                raised = (signs.cap - signs.low) / 2 if sign == ":" else 0.0
                p.drawText(QPointF(left + (cell - signs[sign]) / 2, base - raised), sign)

    def _at(self, px: int) -> _Signs:
        if px not in self._signs:
            if len(self._signs) >= _SIZES_KEPT:
                self._signs.clear()
            self._signs[px] = _Signs(QFontMetricsF(self._look.font(px, Weight.BOLD)))
        return self._signs[px]
