"""How wide the columns of a table are: plain Python."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

Wide = Callable[[str, int], float]
"""Width in px of a text at a font size in px."""


@dataclass(frozen=True, slots=True)
class ColumnFit:
    """Left edge and width of each column, px, and the font size at which all of it can be read."""

    lefts: tuple[float, ...]
    widths: tuple[float, ...]
    px: int


def fit_columns(texts: Sequence[Sequence[str]], width: float, sizes: tuple[int, int], wide: Wide) -> ColumnFit:
    """Fit columns, given the texts of each, into `width` px at the largest of the sizes (largest, least).

    Room that is left is shared out between the columns; what is still too wide takes it from the widest.
    """
    largest, least = sizes
    for px in range(largest, least - 1, -1):
        needed = _needed(texts, px, wide)
        if sum(needed) <= width:
            return _placed(needed, width, px)
    return _placed(_squeezed(_needed(texts, least, wide), width), width, least)


def _needed(texts: Sequence[Sequence[str]], px: int, wide: Wide) -> list[float]:
    return [max((wide(text, px) for text in column), default=0.0) + 1.2 * px for column in texts]


def _squeezed(needed: list[float], width: float) -> list[float]:
    """Take from the widest column what is missing."""
    widest = needed.index(max(needed))
    needed[widest] = max(1.0, needed[widest] - (sum(needed) - width))
    return needed


def _placed(needed: list[float], width: float, px: int) -> ColumnFit:
    spare = max(0.0, width - sum(needed)) / max(1, len(needed))
    widths = [column + min(spare, 3.0 * px) for column in needed]
    return ColumnFit(tuple(sum(widths[:i]) for i in range(len(widths))), tuple(widths), px)
