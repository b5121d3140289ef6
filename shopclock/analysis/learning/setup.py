"""What a batch costs before its first piece: set-up, pressed or fitted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.factors import from_log
from shopclock.analysis.learning.learning import Learning, in_groups
from shopclock.analysis.learning.least_squares import student
from shopclock.shop.values.kinds import WorkKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.learning.lot import Lot
    from shopclock.shop.figures.piece_labour import PieceLabour

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
    """Set-up as it was pressed: per batch, and per sitting where these were counted.

    `inside_run`: batches without pressed set-up. It is inside their run minutes, not nought.
    """

    per_batch: Mean
    per_sitting: Mean | None
    inside_run: int


def pressed_setup(lots: Sequence[Lot], sittings: Iterable[float] = ()) -> PressedSetup | NoAnswer:
    """Return the mean of pressed set-up over the lots that count. `sittings`: minutes of each (`setup_sittings`)."""
    counted = [lot for lot in lots if lot.left_out is None]
    found = mean_of([lot.setup_us / 60e6 for lot in counted if lot.setup_us])
    if found is None:
        return NoAnswer(NoAnswerReason.FEW, 0, 1)
    return PressedSetup(found, mean_of(list(sittings)), len(counted) - found.n)


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


def setup_sittings(rows: Iterable[PieceLabour], stage_id: int) -> list[float]:
    """Return the minutes of each sitting of set-up at a stage of one batch: without a gap between it is one sitting."""
    own = sorted((r for r in rows if r.stage_id == stage_id and r.work is WorkKind.SETUP), key=lambda r: r.start_us)
    sums: list[float] = []
    ended_us: int | None = None
    for row in own:
        if ended_us is None or row.start_us > ended_us:
            sums.append(0.0)
        sums[-1] += row.us / 60e6
        ended_us = max(row.end_us, ended_us or row.end_us)
    return sums


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
        """Whether the set-up can be told from nothing."""
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
        found = least_squares(self.off, start, jac=self._slope_held, bounds=(lowest, np.inf), xtol=1e-14, ftol=1e-14)
        return found.x, math.sqrt(2 * float(found.cost) / (self._fit.line.df - 1))

    def _slope_held(self, at: Floats) -> Floats:
        """Return the same with b held."""
        return self.slope(at)[:, :-1]

    def _own(self, at: Floats) -> Floats:
        import numpy as np

        own: Floats = self._run * np.exp(self._groups @ at[1:])
        return own
