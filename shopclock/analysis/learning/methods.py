"""Freehand against the jig: two methods of a stage compared, and where one passes the other."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.crossing import Stairs, crossings, stairs
from shopclock.analysis.learning.fitted import setup_mixed
from shopclock.analysis.learning.learning import Learning, learning
from shopclock.analysis.learning.resample import as_fitted, ends, resampled
from shopclock.shop.figures.trend_rows import LAST

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.learning.lot import Lot

    Floats = npt.NDArray[np.float64]

SEED = 1
FAR = 50
"""Two methods further apart than e^50 stand there: a draw of two batches side by side can point anywhere."""


class Passing(StrEnum):
    """How the method taken up later stands to the other."""

    FROM_THE_FIRST = "quicker from the first"
    PASSED = "passed it"
    COMING = "will pass it"
    NOT_IN_SIGHT = "not in sight"


@dataclass(frozen=True, slots=True)
class Comparison:
    """The later method against the earlier one, over the patterns made by both, each pattern weighing the same.

    `count`: the piece of the later method at which its curve passes the other's level; `low` to `high` holds it in
    19 of 20 resamplings of the batches, `high` is nothing where that is out of sight, `low` too where all of it is.
    `lot`: the batch in which it happened; `at_us`: when it will, at the present rate. `now`: minutes of the later over
    minutes of the earlier where both counts stand today, with its range.
    """

    later: Learning
    earlier: Learning
    later_is_first: bool
    passing: Passing
    count: int | None
    low: int | None
    high: int | None
    lot: Lot | None
    at_us: int | None
    now: float
    now_range: Range


def compare(one: Sequence[Lot], other: Sequence[Lot]) -> Comparison | NoAnswer:
    """Return how two methods stand to each other, from all lots of each; what isn't counted still advances a count.

    Where set-up was pressed for some batches of either and not for others, both stand with it.
    """
    common = _common(one, other)
    mixed = setup_mixed([*one, *other])
    fits = [learning(lots, common, with_setup=mixed) for lots in (one, other)]
    for fit in fits:
        if isinstance(fit, NoAnswer):
            return replace(fit, why=NoAnswerReason.NOT_BOTH) if fit.why is NoAnswerReason.FEW else fit
    first, second = (fit for fit in fits if isinstance(fit, Learning))
    later_is_first = _began(one) > _began(other)
    if later_is_first:
        return _compare(first, second, one, other, later_is_first=True)
    return _compare(second, first, other, one, later_is_first=False)


def _common(one: Sequence[Lot], other: Sequence[Lot]) -> set[int]:
    """Return the patterns that both methods have at least two batches of."""
    made = [_batches_of(lots) for lots in (one, other)]
    return {pattern for pattern in made[0] if min(m[pattern] for m in made) > 1}


def _batches_of(lots: Sequence[Lot]) -> Counter[int]:
    return Counter(lot.pattern_id for lot in lots if lot.left_out is None and lot.minutes > 0)


def _began(lots: Sequence[Lot]) -> tuple[int, int]:
    return min((lot.number, lot.at_us) for lot in lots)


def _compare(
    later: Learning, earlier: Learning, later_lots: Sequence[Lot], earlier_lots: Sequence[Lot], *, later_is_first: bool
) -> Comparison:
    import numpy as np

    steps = stairs(later_lots, earlier_lots)
    drawn = resampled(later, np.random.default_rng(SEED)), resampled(earlier, np.random.default_rng(SEED + 1))
    counts = crossings(steps, *drawn[0], *drawn[1])
    found = _counted(crossings(steps, *as_fitted(later), *as_fitted(earlier))[0])
    low, high = (_counted(end) for end in ends(counts))
    made = steps.last[-2]
    return Comparison(
        later=later,
        earlier=earlier,
        later_is_first=later_is_first,
        passing=_passing(found, made),
        count=found,
        low=low,
        high=high,
        lot=_lot_of(found, later_lots),
        at_us=_when(found, later_lots) if found is not None and found > made else None,
        now=float(_now(steps, *as_fitted(later), *as_fitted(earlier))[0]),
        now_range=Range(*ends(_now(steps, *drawn[0], *drawn[1]))),
    )


def _now(steps: Stairs, level: Floats, slope: Floats, other_level: Floats, other_slope: Floats) -> Floats:
    import numpy as np

    own, other = math.log(steps.last[-2]), math.log(steps.beside[-1])
    ratio: Floats = np.exp(np.clip(level + slope * own - other_level - other_slope * other, -FAR, FAR))
    return ratio


def _counted(count: float) -> int | None:
    return int(count) if math.isfinite(count) else None


def _passing(count: int | None, made: int) -> Passing:
    if count is None:
        return Passing.NOT_IN_SIGHT
    if count == 1:
        return Passing.FROM_THE_FIRST
    return Passing.PASSED if count <= made else Passing.COMING


def _lot_of(count: int | None, lots: Sequence[Lot]) -> Lot | None:
    holding = (lot for lot in lots if count is not None and lot.first_piece <= count <= lot.last_piece)
    return next(holding, None)


def _when(count: int, lots: Sequence[Lot]) -> int | None:
    """Return when a count to come is reached, at the pace of the last eight batches; nothing where there is no pace."""
    newest = sorted(lots, key=lambda lot: lot.at_us)[-LAST:]
    first, last = newest[0], newest[-1]
    pieces, took_us = last.last_piece - first.last_piece, last.at_us - first.at_us
    if pieces <= 0 or took_us <= 0:
        return None
    return last.at_us + round((count - last.last_piece) * took_us / pieces)
