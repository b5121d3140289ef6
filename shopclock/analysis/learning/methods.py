"""Freehand against the jig: two methods of a stage compared, and where one passes the other."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections import Counter
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import accumulate
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.learning import Learning, learning
from shopclock.analysis.learning.stage_trend import setup_mixed
from shopclock.shop.figures.trend_rows import LAST

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.learning.stage_trend import Lot

    Floats = npt.NDArray[np.float64]

DRAWN, LEAST_DRAWN, MOST_PLACES = 4000, 400, 1_000_000
"""Draws of two lines; fewer where each is looked at in thousands of places."""


def as_fitted(fit: Learning) -> tuple[Floats, Floats]:
    """Return the mean level over the patterns and the slope, as arrays of one."""
    import numpy as np

    own = [level.at for level in fit.line.levels.values()]
    return np.array([sum(own) / len(own)]), np.array([fit.line.slope])


def drawn(fit: Learning, dice: np.random.Generator, draws: int = DRAWN) -> tuple[Floats, Floats]:
    """Draw mean levels and slopes as sure as the fit is of them: Student's t about its line, midpoints held.

    The mean of the patterns' own means and the slope are independent; both share the spread that was drawn.
    """
    import numpy as np

    line, own = fit.line, fit.line.levels.values()
    spread = line.spread * np.sqrt(line.df / dice.chisquare(line.df, draws))
    slope = line.slope + spread / math.sqrt(line.sum_xx) * dice.standard_normal(draws)
    middle_x = sum(level.mean_x for level in own) / len(own)
    middle_y = sum(level.at + line.slope * level.mean_x for level in own) / len(own)
    sure = math.sqrt(sum(1 / level.n for level in own)) / len(own)
    level = middle_y + spread * sure * dice.standard_normal(draws) - slope * middle_x
    return level, slope


def ends(values: Floats) -> tuple[float, float]:
    """Return the 2.5 and 97.5 % points, each a value that was drawn: some are infinite."""
    import numpy as np

    low, high = np.quantile(values, [0.025, 0.975], method="inverted_cdf")
    return float(low), float(high)


IN_SIGHT = 3
"""Counts looked ahead, as a multiple of the count so far."""


@dataclass(frozen=True, slots=True)
class Stairs:
    """Counts of the later method, first…last of each lot and then on to where sight ends, beside the other's count."""

    first: tuple[int, ...]
    last: tuple[int, ...]
    beside: tuple[int, ...]


def stairs(later: Sequence[Lot], earlier: Sequence[Lot]) -> Stairs:
    """Lay the other method's last count by then beside each lot of the later one; ahead it stays where it is now."""
    ordered = sorted(later, key=lambda lot: lot.last_piece)
    last = [lot.last_piece for lot in ordered]
    dated = sorted(earlier, key=lambda lot: lot.at_us)
    days, made = [lot.at_us for lot in dated], list(accumulate((lot.last_piece for lot in dated), max))
    before = min(lot.last_piece for lot in earlier)
    places = [bisect_right(days, lot.at_us) for lot in ordered]
    beside = [made[place - 1] if place else before for place in places]
    ends = (*last, IN_SIGHT * last[-1])
    return Stairs((1, *(n + 1 for n in last)), ends, (*beside, made[-1]))


def crossings(steps: Stairs, level: Floats, slope: Floats, other_level: Floats, other_slope: Floats) -> Floats:
    """Return the first count at which level + slope · ln count is not above the other's curve at its own count by then.

    Levels and slopes are of ln minutes, one of each a pair of curves (pairs); infinite where that is out of sight.
    """
    import numpy as np

    first, last = np.array(steps.first, float), np.array(steps.last, float)
    other = other_level[:, None] + other_slope[:, None] * np.log(np.array(steps.beside, float))
    above = level[:, None] + slope[:, None] * np.log(first) - other
    with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
        # From the first count of a step on, a falling curve still has `above` to lose: in ln count, above/−slope.
        reached = np.ceil(first * np.exp(above / -slope[:, None]) * (1 - 1e-12))
    found = np.where(above <= 0, first, np.where(slope[:, None] < 0, reached, np.inf))
    counts: Floats = np.where(found <= last, found, np.inf).min(axis=1)
    return counts


SEED = 1
FAR = 50
"""Two methods further apart than e^50 stand there: a draw of two batches side by side can point anywhere."""


class Passing(StrEnum):
    """Standing of the method taken up later to the other."""

    FROM_THE_FIRST = "quicker from the first"
    PASSED = "passed it"
    COMING = "will pass it"
    NOT_IN_SIGHT = "not in sight"


@dataclass(frozen=True, slots=True)
class Comparison:
    """The later method against the earlier one, over the patterns made by both, each pattern weighing the same.

    `count`: the piece of the later method at which its curve passes the other's level; `low` to `high` holds it in
    19 of 20 draws of both lines, `high` is nothing where that is out of sight, `low` too where all of it is.
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
    made = [Counter(lot.pattern_id for lot in m if lot.left_out is None and lot.minutes > 0) for m in (one, other)]
    return {pattern for pattern in made[0] if min(m[pattern] for m in made) > 1}


def _began(lots: Sequence[Lot]) -> tuple[int, int]:
    return min((lot.number, lot.at_us) for lot in lots)


def _compare(
    later: Learning, earlier: Learning, later_lots: Sequence[Lot], earlier_lots: Sequence[Lot], *, later_is_first: bool
) -> Comparison:
    import numpy as np

    steps = stairs(later_lots, earlier_lots)
    draws = max(LEAST_DRAWN, min(DRAWN, MOST_PLACES // len(steps.last)))
    both = drawn(later, np.random.default_rng(SEED), draws), drawn(earlier, np.random.default_rng(SEED + 1), draws)
    counts = crossings(steps, *both[0], *both[1])
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
        lot=next((o for o in later_lots if found is not None and o.first_piece <= found <= o.last_piece), None),
        at_us=_when(found, later_lots) if found is not None and found > made else None,
        now=float(_now(steps, *as_fitted(later), *as_fitted(earlier))[0]),
        now_range=Range(*ends(_now(steps, *both[0], *both[1]))),
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


def _when(count: int, lots: Sequence[Lot]) -> int | None:
    """Return when a count to come is reached, at the pace of the last eight batches; nothing where there is no pace."""
    newest = sorted(lots, key=lambda lot: lot.at_us)[-LAST:]
    first, last = newest[0], newest[-1]
    pieces, took_us = last.last_piece - first.last_piece, last.at_us - first.at_us
    if pieces <= 0 or took_us <= 0:
        return None
    return last.at_us + round((count - last.last_piece) * took_us / pieces)
