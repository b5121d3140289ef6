"""Set-up of a batch, pressed or fitted, and what it leaves on each piece as the batch grows."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.learning import Learning, from_log, in_groups, student

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.learning.stage_trend import Lot

    Floats = npt.NDArray[np.float64]

ENOUGH = 12
APART = 2
HAIR = 1e-4
"""A set-up below this share of the quickest piece is the search's distance from its bound, not a set-up."""


@dataclass(frozen=True, slots=True)
class Mean:
    """A mean in minutes over n, with the 95 % interval of the mean; with one alone there is none."""

    minutes: float
    n: int
    range: Range | None


@dataclass(frozen=True, slots=True)
class PressedSetup:
    """Set-up as it was pressed, minutes per batch.

    `inside_run`: batches without pressed set-up. It is inside their run minutes, not nought.
    """

    per_batch: Mean
    inside_run: int


def pressed_setup(lots: Sequence[Lot]) -> PressedSetup | NoAnswer:
    """Return the mean of pressed set-up over the lots that count."""
    counted = [lot for lot in lots if lot.left_out is None]
    found = mean_of([lot.setup_us / 60e6 for lot in counted if lot.setup_us])
    if found is None:
        return NoAnswer(NoAnswerReason.FEW, 0, 1)
    return PressedSetup(found, len(counted) - found.n)


def mean_of(minutes: Sequence[float]) -> Mean | None:
    """Return a mean with its interval (Student's t, not below 0), or nothing of nothing."""
    n = len(minutes)
    if not n:
        return None
    mean = math.fsum(minutes) / n
    if n == 1:
        return Mean(mean, 1, None)
    half = student(0.95, n - 1) * math.sqrt(math.fsum((m - mean) ** 2 for m in minutes) / (n - 1) / n)
    return Mean(mean, n, Range(max(0.0, mean - half), mean + half))


@dataclass(frozen=True, slots=True)
class FittedSetup:
    """Set-up minutes of a batch, told from run by the batch sizes, with 95 % interval; first piece by pattern.

    `usable`: the range doesn't reach 0. Otherwise it is shown and not used further.
    """

    minutes: float
    range: Range
    first_piece_min: dict[int, float]
    n: int

    @property
    def usable(self) -> bool:
        """The set-up can be told from nothing."""
        return self.range.low > 0


def fitted_setup(fit: Learning) -> FittedSetup | NoAnswer:
    """Return S and the level of each pattern in minutes per piece = S/Q + T1 · K^b, b and K held at the fit's, S ≥ 0.

    Least squares of ln minutes. The range allows for b not being known either, Student's t with batches − patterns − 2:
    without that it held the truth in 86 to 95 of 100 simulated shops. It takes twelve batches, the largest at least
    twice the smallest.
    """
    import numpy as np

    sizes = [point.lot.pieces for point in fit.points]
    if len(sizes) < ENOUGH:
        return NoAnswer(NoAnswerReason.FEW, len(sizes), ENOUGH)
    if max(sizes) < APART * min(sizes):
        return NoAnswer(NoAnswerReason.ONE_SIZE, len(sizes))
    model = _Model(fit)
    at, spread = model.least()
    jacobian = model.slope(at)
    if np.linalg.matrix_rank(jacobian) < jacobian.shape[1]:
        return NoAnswer(NoAnswerReason.ONE_SIZE, len(sizes))
    half = student(0.95, fit.line.df - 1) * spread * math.sqrt(np.linalg.inv(jacobian.T @ jacobian)[0, 0])
    setup = float(at[0]) if at[0] > HAIR * min(p.minutes for p in fit.points) else 0.0
    # Held at 0 the search would go on below: the range lies about where it would end, cut off at 0.
    middle = at[0] - float(np.linalg.lstsq(jacobian[:, :-1], model.off(at))[0][0])
    firsts = {pattern: from_log(log) for pattern, log in zip(fit.fitted.patterns, at[1:], strict=True)}
    ends = Range(max(0.0, float(middle - half)), max(setup, float(middle + half)))
    return FittedSetup(setup, ends, firsts, len(sizes))


class _Model:
    """ln minutes of the batches of a fit as S/Q + T1 · K^b tells them; `at` is S and ln T1 of each pattern."""

    def __init__(self, fit: Learning) -> None:
        import numpy as np

        self._fit = fit
        self._logs = np.log([p.minutes for p in fit.points])
        self._groups = in_groups(fit.fitted)
        self._share = 1 / np.array([float(p.lot.pieces) for p in fit.points])
        self._x = np.log([p.midpoint for p in fit.points])
        self._run = np.exp(self._x * fit.line.slope)

    def off(self, at: Floats) -> Floats:
        """Return told less timed."""
        import numpy as np

        rest: Floats = np.log(at[0] * self._share + self._own(at)) - self._logs
        return rest

    def slope(self, at: Floats) -> Floats:
        """Return how what is told changes with each of `at` and, last, with b."""
        import numpy as np

        own = self._own(at)
        whole = at[0] * self._share + own
        return np.column_stack([self._share / whole, self._groups * (own / whole)[:, None], self._x * own / whole])

    def least(self) -> tuple[Floats, float]:
        """Return where the squares of what is left are least, and its spread."""
        import numpy as np
        from scipy.optimize import least_squares

        levels = [level.at for level in self._fit.line.levels.values()]
        start = np.array([0.1 * from_log(self._logs.min()), *levels])
        lowest = np.array([0.0, *(-np.inf for _ in levels)])

        def slope_held(at: Floats) -> Floats:
            return self.slope(at)[:, :-1]

        found = least_squares(self.off, start, jac=slope_held, bounds=(lowest, np.inf), xtol=1e-14, ftol=1e-14)
        return found.x, math.sqrt(2 * float(found.cost) / (self._fit.line.df - 1))

    def _own(self, at: Floats) -> Floats:
        import numpy as np

        own: Floats = self._run * np.exp(self._groups @ at[1:])
        return own


@dataclass(frozen=True, slots=True)
class SizePoint:
    """A batch of so many pieces: minutes per piece, with the range that set-up leaves."""

    pieces: int
    minutes: float
    range: Range | None


def batch_minutes(setup_min: float, run_min: float, pieces: int, capacity: int | None = None) -> float:
    """Return the minutes of a batch: S + n · r, with a set-up for each load of `capacity` pieces.

    Source: any text on operations (batch time = set-up + quantity · run time).
    """
    return setup_min * loads(pieces, capacity) + pieces * run_min


def loads(pieces: int, capacity: int | None) -> int:
    """Return how many loads so many pieces take; one where nothing bounds it."""
    return math.ceil(pieces / capacity) if capacity else 1


def batch_size_curve(
    setup_min: float,
    run_min: float,
    sizes: Sequence[int],
    capacity: int | None = None,
    setup_range: Range | None = None,
) -> tuple[SizePoint, ...]:
    """Return minutes per piece for batches of these sizes (1 or more); a second load is a second set-up."""
    ends = () if setup_range is None else (setup_range.low, setup_range.high)
    found = []
    for n in sizes:
        low_high = [batch_minutes(setup, run_min, n, capacity) / n for setup in ends]
        each = batch_minutes(setup_min, run_min, n, capacity) / n
        found.append(SizePoint(n, each, Range(*low_high) if low_high else None))
    return tuple(found)
