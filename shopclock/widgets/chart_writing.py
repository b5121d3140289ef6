"""Where the words of a chart stand: beside their lines, apart from each other, inside the chart."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shopclock.widgets.chart_scale import spread, top_of
from shopclock.widgets.chart_words import ahead_words, dot_words, upright_words, words_item, words_size

if TYPE_CHECKING:
    from shopclock.widgets.chart_picture import Picture, Series
    from shopclock.widgets.look import Look

APART_PX = 6
"""Between a line and its name."""


class Writing:
    """The words of one picture."""

    def __init__(self, look: Look) -> None:
        self._look = look
        self._names: list[Any] = []
        self._uprights: list[Any] = []
        self._ahead: Any = None
        self._dots: list[Any] = []

    def write(self, picture: Picture) -> list[Any]:
        """Make the words of a picture."""
        self._names = [words_item(series, self._look) for series in picture.series]
        self._uprights = [upright_words(upright, self._look) for upright in picture.uprights]
        self._ahead = ahead_words(picture.ahead, self._look) if picture.ahead else None
        told = [dot for series in picture.series for dot in series.dots if dot.text]
        middle = (picture.low + top_of(picture)) / 2
        self._dots = [dot_words(dot, self._look, under=dot.y > middle) for dot in told]
        for item, dot in zip(self._dots, told, strict=True):
            item.setPos(dot.x, dot.y)
        return [*self._names, *self._uprights, *self._dots, *([self._ahead] if self._ahead else [])]

    def room(self) -> float:
        """How wide the names beside the chart are, px."""
        return max((words_size(words)[0] + APART_PX for words in self._names), default=0.0)

    def place(self, picture: Picture, x_per_px: float, y_per_px: float, top: float) -> None:
        """Put the words where they belong."""
        self._place_names(picture, x_per_px, y_per_px, top)
        for words, upright in zip(self._uprights, picture.uprights, strict=True):
            words.setPos(upright.x + 6 * x_per_px, top)
        if self._ahead is not None and picture.ahead is not None:
            half = words_size(self._ahead)[0] / 2 * x_per_px
            x = max(picture.first_x + half, min(picture.ahead.x, picture.last_x - half))
            self._ahead.setPos(x, picture.ahead.low - 4 * y_per_px)

    def _place_names(self, picture: Picture, x_per_px: float, per_px: float, top: float) -> None:
        high = max((words_size(words)[1] for words in self._names), default=0.0)
        half = high * per_px / 2
        levels = spread([_level(s) for s in picture.series], high * per_px, picture.low + half, top - half)
        for words, y in zip(self._names, levels, strict=True):
            words.setPos(picture.last_x + APART_PX * x_per_px, y)


def _level(series: Series) -> float:
    """The height at which a series ends."""
    values = series.band.middles if series.band else tuple(dot.y for dot in series.dots)
    return values[-1] if values else 0.0
