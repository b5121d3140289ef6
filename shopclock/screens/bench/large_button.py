"""Buttons whose title is as large as their place, or as the distance from which it is read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF

from shopclock.views.fit import LINE_HEIGHT, TextBox
from shopclock.widgets.button_face import PlacedText
from shopclock.widgets.drawing import CENTRE
from shopclock.widgets.press_button import KeyButton
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from shopclock.views.button import Button
    from shopclock.views.fit import FittedText
    from shopclock.views.metrics import Sizes

TITLE, DETAIL = 0.34, 0.13
"""Sizes of the two texts as shares of the button's height."""
FOR_LONG_NAMES = ((0.5, 0.5), (0.4, 0.6), (0.32, 0.68))
"""The parts of the height that title and detail have where either would be cut otherwise."""


class BigButton(KeyButton):
    """Button as large as its place: the title fills it, the detail stands under it."""

    shares = (0.62, 0.3)

    def title_px(self) -> int:
        """Font size that the title would like."""
        sizes = self._look.sizes
        return max(sizes.action_text, min(round(self.height() * TITLE), round(sizes.stage_text * 1.6)))

    def detail_px(self) -> int:
        """Font size that the detail would like."""
        return max(self._look.sizes.body_text, round(self.height() * DETAIL))

    def place_texts(self, state: Button) -> list[PlacedText]:
        """Title and detail, one under the other in the middle."""
        title_px, high = self.title_px(), float(self.height())
        pad = min(2 * self._look.sizes.gap, self.width() * 0.05)
        wide = self.width() - 2 * pad
        if not state.detail:
            title = self._fit(state.title, title_px, wide, high)
            return [PlacedText(QRectF(pad, 0, wide, high), title, Weight.SEMIBOLD, "text", CENTRE)]
        detail_px = min(self.detail_px(), round(title_px * 0.6))
        tried = []
        for share, detail_share in (self.shares, *FOR_LONG_NAMES):
            title = self._fit(state.title, title_px, wide, high * share)
            detail = self._fit(state.detail, detail_px, wide, high * detail_share, Weight.MEDIUM)
            tried.append((title, detail))
        title, detail = next((both for both in tried if not any(text.cut for text in both)), tried[0])
        over, under = (text.px * LINE_HEIGHT * len(text.lines) for text in (title, detail))
        top = (high - over - under) / 2
        return [
            PlacedText(QRectF(pad, top, wide, over), title, Weight.SEMIBOLD, "text", CENTRE),
            PlacedText(QRectF(pad, top + over, wide, under), detail, Weight.MEDIUM, state.detail_role, CENTRE),
        ]

    def _fit(self, text: str, px: int, wide: float, high: float, weight: Weight = Weight.SEMIBOLD) -> FittedText:
        least = self._look.sizes.least_text
        return self._look.fitted(text, TextBox(wide, high, px, max(least, px // 2), min(least, px)), weight)


class ActionButton(BigButton):
    """Stop, Next or Done: read at 2 m where its words have the room. One of several that are alike is as they are."""

    shares = (0.66, 0.34)

    def place_texts(self, state: Button) -> list[PlacedText]:
        """Title and detail as large as they can be, unless nothing sets it apart from those beside it."""
        return KeyButton.place_texts(self, state) if state.role == "plate" else super().place_texts(state)

    def title_px(self) -> int:
        """Font size of the stage, where the button does something."""
        return self._look.sizes.stage_text if self.state.enabled else self._look.sizes.action_text

    def detail_px(self) -> int:
        """Font size of the usual text."""
        return self._look.sizes.body_text


class FarButton(ActionButton):
    """The same from afar: read at 3 m where its words have the room."""

    @staticmethod
    def words_px(sizes: Sizes, high: int) -> int:
        """Font size of a title on a button so high: as large as the clock at least is."""
        return max(sizes.clock_text_min, round(high * 0.5))

    def title_px(self) -> int:
        """Font size that fills the height."""
        return self.words_px(self._look.sizes, self.height())

    def detail_px(self) -> int:
        """Half of it."""
        return self.title_px() // 2
