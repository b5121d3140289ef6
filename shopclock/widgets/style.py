"""Style that every painted control draws itself by: theme, sizes and the font. One per window."""

from __future__ import annotations

from dataclasses import replace
from enum import IntEnum
from functools import lru_cache, partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QFont, QFontMetricsF

from shopclock.views.fit import FittedText, TextBox, fit
from shopclock.widgets.theme import surface

if TYPE_CHECKING:
    from shopclock.views.metrics import Sizes
    from shopclock.widgets.theme import Surface, Theme


BOUNCE_MS = 500
"""A second press of the same control within this time is a bounce. Common practice, no source."""


CHATTER_MS = 80
"""What comes again sooner than this is a contact that chatters, no second press. Common practice, no source."""

KEPT = 1000
"""So many texts are kept as they were last fitted: far more than a screen shows."""


class Weight(IntEnum):
    """The three weights that are shipped."""

    MEDIUM = 500
    SEMIBOLD = 600
    BOLD = 700


class Style(QObject):
    """Theme, sizes and font of a window; `changed` tells its controls to draw again.

    `refused` tells that a press came too soon after its button had come up: none was taken; `bounced`, that it was the
    second of one control within the time of a bounce; `unable` that what was pressed can't be now, and says why not.
    `by_keyboard` is set while the maker moves by keyboard: only then is it shown which button has it. Whoever sets it
    either way has touched something: `touches` counts that.
    """

    changed = Signal()
    refused = Signal()
    bounced = Signal()
    unable = Signal(str)

    def __init__(self, theme: Theme, sizes: Sizes, family: str, bounce_ms: int = BOUNCE_MS) -> None:
        super().__init__()
        self.bounce_ms = bounce_ms
        self.touches = 0
        self._by_keyboard = False
        self._theme = theme
        self._sizes = sizes
        self._family = family
        self._metrics: dict[tuple[int, Weight], QFontMetricsF] = {}
        self.fitted = lru_cache(KEPT)(self._fit)
        """How a text is written in a box at a weight; hardly any text changes from one paint to the next."""
        self._font = lru_cache(KEPT)(self._make_font)

    @property
    def by_keyboard(self) -> bool:
        """True while the maker moves by keyboard."""
        return self._by_keyboard

    @by_keyboard.setter
    def by_keyboard(self, moves: bool) -> None:
        self._by_keyboard = moves
        self.touches += 1

    @property
    def family(self) -> str:
        """Name of the font."""
        return self._family

    @property
    def theme(self) -> Theme:
        """The colours in force."""
        return self._theme

    @property
    def sizes(self) -> Sizes:
        """The sizes in force."""
        return self._sizes

    def set_theme(self, theme: Theme) -> None:
        """Change the colours, dark or paper."""
        if theme != self._theme:
            self._theme = theme
            self.changed.emit()

    def set_sizes(self, sizes: Sizes) -> None:
        """Change window size, pixels per millimetre, gloves or text factor."""
        if sizes != self._sizes:
            self._sizes = sizes
            self.changed.emit()

    def resize(self, width: int, height: int) -> None:
        """The window now has this size, px."""
        self.set_sizes(replace(self._sizes, width=width, height=height))

    def surface(self, role: str) -> Surface:
        """Surface of a plate or button of this role."""
        return surface(self._theme, role)

    def width(self, text: str, px: int, weight: Weight) -> float:
        """The width of a text in px, at a font size in px."""
        key = (px, weight)
        if key not in self._metrics:
            self._metrics[key] = QFontMetricsF(self.font(px, weight))
        return self._metrics[key].horizontalAdvance(text)

    def _fit(self, text: str, box: TextBox, weight: Weight) -> FittedText:
        return fit(text, box, partial(self.width, weight=weight))

    def font(self, px: float, weight: Weight = Weight.MEDIUM) -> QFont:
        """The font at a size in pixels, with figures that all have one width; whoever changes it changes a copy."""
        return self._font(max(1, round(px)), weight)

    def _make_font(self, px: int, weight: Weight) -> QFont:
        font = QFont(self._family)
        font.setPixelSize(px)
        font.setWeight(QFont.Weight(weight))
        font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
        font.setFeature(QFont.Tag("tnum"), 1)
        return font
