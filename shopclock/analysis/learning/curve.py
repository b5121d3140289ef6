"""The line and the band that a chart by count draws, worked out where the fit is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.learning import Learning, Verdict

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.analysis.learning.answer import Range
    from shopclock.analysis.learning.lot import Lot
    from shopclock.analysis.learning.no_trend_mean import NoTrendMean

SHARE = 0.80
"""Eight of ten batches lie in the band, as in what is said "from … to"."""
MOST = 400
"""More places than a chart is wide tell nothing more."""


@dataclass(frozen=True, slots=True)
class Curve:
    """Minutes per piece along a method's own count: the middle, and the range of one more batch."""

    counts: tuple[float, ...]
    lows: tuple[float, ...]
    middles: tuple[float, ...]
    highs: tuple[float, ...]


def curve(lots: Sequence[Lot], fit: Learning, level: NoTrendMean, pattern_id: int, ahead: int) -> Curve:
    """Return the line of a pattern over the lots of a method and `ahead` pieces more: the curve, or flat where it is.

    Flat it is where the interval of the rate holds "no change".
    """
    counts = _places(lots, ahead)
    if fit.verdict is Verdict.NO_CHANGE:
        within, middle = level.next_range(pattern_id, SHARE), level.at(pattern_id)
        return _curve(counts, lambda _: middle, lambda _: within)
    return _curve(counts, lambda n: fit.at(n, pattern_id), lambda n: fit.band(n, pattern_id, SHARE))


def _curve(counts: tuple[float, ...], at: Callable[[float], float], band: Callable[[float], Range]) -> Curve:
    bands = [band(n) for n in counts]
    return Curve(counts, tuple(b.low for b in bands), tuple(map(at, counts)), tuple(b.high for b in bands))


def _places(lots: Sequence[Lot], ahead: int) -> tuple[float, ...]:
    """Return places from the first piece to the last one ahead: both ends of each lot, and some between."""
    between = max(1, min(8, MOST // len(lots)))
    spans = [(lot.first_piece, lot.last_piece) for lot in lots]
    spans.append((spans[-1][1] + 1, spans[-1][1] + max(1, ahead)))
    return tuple(sorted({first + (last - first) * i / between for first, last in spans for i in range(between + 1)}))
