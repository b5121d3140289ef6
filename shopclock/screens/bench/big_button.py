"""The one big thing to press, in the clock's place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF

from shopclock.screens.bench.key_button import KeyButton
from shopclock.views.fit import TextBox
from shopclock.widgets.button_face import PlacedText
from shopclock.widgets.drawing import CENTRE, fit_text
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from shopclock.views.fit import FittedText

TITLE, DETAIL = 0.34, 0.13
"""Sizes of the two texts as shares of the button's height."""


class BigButton(KeyButton):
    """As large as its place: the title fills it, the detail stands under it."""

    def texts(self) -> list[PlacedText]:
        """Title and detail, one under the other in the middle."""
        sizes, wide = self._look.sizes, self.width() - 4 * self._look.sizes.gap
        title_px = max(sizes.action_text, min(round(self.height() * TITLE), round(sizes.stage_text * 2.2)))
        detail_px = max(sizes.body_text, round(self.height() * DETAIL))
        title = self._fit(self.state.title, title_px, wide, self.height() * 0.62, Weight.SEMIBOLD)
        if not self.state.detail:
            return [PlacedText(QRectF(self.rect()), title, Weight.SEMIBOLD, "text", CENTRE)]
        detail = self._fit(
            self.state.detail, min(detail_px, round(title_px * 0.6)), wide, self.height() * 0.3, Weight.MEDIUM
        )
        high, low = _high(title), _high(detail)
        top = (self.height() - high - low) / 2
        left = (self.width() - wide) / 2
        return [
            PlacedText(QRectF(left, top, wide, high), title, Weight.SEMIBOLD, "text", CENTRE),
            PlacedText(QRectF(left, top + high, wide, low), detail, Weight.MEDIUM, self.state.detail_role, CENTRE),
        ]

    def _fit(self, text: str, px: int, wide: float, high: float, weight: Weight) -> FittedText:
        least = self._look.sizes.small_text
        return fit_text(self._look, text, TextBox(wide, high, px, max(least, px // 2), min(least, px)), weight)


def _high(text: FittedText) -> float:
    return text.px * 1.2 * len(text.lines)
