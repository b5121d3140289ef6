"""Lines through the batches of one stage and method, each batch a little like the one before it.

Generalised least squares where neighbours correlate by likeness^apart (AR(1)): such a covariance is undone by taking
from each value its share of the one before, so that nothing here is batches × batches.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Floats = npt.NDArray[np.float64]
    Ints = npt.NDArray[np.int64]


@dataclass(frozen=True)  # without slots: what was worked out once is kept beside the fields
class Series:
    """Batches of a stage and method in order (n): place among the shop's batches, pattern, ln K, ln minutes a piece."""

    batch: Ints
    pattern: Ints
    x: Floats
    y: Floats

    @cached_property
    def levels(self) -> Floats:
        """One column a pattern, 1 for its own batches (n × patterns)."""
        import numpy as np

        found: Floats = (self.pattern[:, None] == np.unique(self.pattern)[None, :]).astype(float)
        return found

    @property
    def n(self) -> int:
        """Number of batches."""
        return len(self.y)

    @property
    def needed(self) -> int:
        """Number of batches that a line with a level for each pattern takes, at least four."""
        return max(4, len(self.levels.T) + 2)


@dataclass(frozen=True, slots=True)
class Lines:
    """Fits of the levels alone, or of levels and one column more (variants).

    `b`: what that column has, `unit` the variance of b over that of a batch; `squares`: weighted sum of squares left,
    `df` its degrees of freedom. By batch (variants × n): `gone`, how far a batch lies from the line of all the others;
    `sure`, 1 over the variance of that; `pull`, by how much b moves for each unit of `gone` when the batch is left out.
    """

    b: Floats
    unit: Floats
    squares: Floats
    df: int
    gone: Floats
    sure: Floats
    pull: Floats
    logdet: float
    log_information: float

    def one(self, i: int) -> Lines:
        """Return one of the variants as the only one."""
        own = slice(i, i + 1)
        fields = (self.b, self.unit, self.squares)
        by_batch = (self.gone, self.sure, self.pull)
        b, unit, squares = (value[own] for value in fields)
        gone, sure, pull = (value[own] for value in by_batch)
        return Lines(b, unit, squares, self.df, gone, sure, pull, self.logdet, self.log_information)

    @property
    def squares_without(self) -> Floats:
        """The sum of squares with each batch left out in turn (variants × n)."""
        import numpy as np

        found: Floats = np.maximum(self.squares[:, None] - self.gone**2 * self.sure, 0.0)
        return found


class _Whitened:
    """Values of a series with the likeness of neighbours taken out: row k less g_k of row k − 1, over √(1 − g_k²)."""

    def __init__(self, series: Series, likeness: float) -> None:
        import numpy as np

        g = likeness ** np.diff(series.batch).astype(float)
        self.own = np.concatenate([[1.0], 1 / np.sqrt(1 - g**2)])
        self.before = np.concatenate([[0.0], g]) * self.own
        self.logdet = -2.0 * float(np.log(self.own).sum())

    def of(self, values: Floats) -> Floats:
        """Return values (… × n) without likeness."""
        found: Floats = values * self.own
        found[..., 1:] -= values[..., :-1] * self.before[1:]
        return found

    def back(self, values: Floats) -> Floats:
        """Return the transposed of the same (… × n)."""
        found: Floats = values * self.own
        found[..., :-1] -= values[..., 1:] * self.before[1:]
        return found

    @property
    def lengths(self) -> Floats:
        """Squared length of each batch's own column (n)."""
        found: Floats = self.own**2
        found[:-1] += self.before[1:] ** 2
        return found


TINY = 1e-12


def lines(series: Series, columns: Floats | None, likeness: float) -> Lines:
    """Fit levels and each of the columns in turn (variants × n), or the levels alone where there are none.

    Deleted residuals and what is left without a batch come in closed form from the one fit (R. D. Cook and S. Weisberg
    1982, Residuals and influence in regression, section 2.2), here after the likeness was taken out.
    """
    import numpy as np

    white = _Whitened(series, likeness)
    y = white.of(series.y)
    levels, triangle = np.linalg.qr(white.of(series.levels.T).T)
    rest = y - levels @ (levels.T @ y)
    sure = white.lengths - (white.back(levels.T) ** 2).sum(axis=0)
    information = 2.0 * float(np.log(np.maximum(np.abs(np.diag(triangle)), TINY)).sum())
    df = series.n - levels.shape[1]
    if columns is None:
        gone, sure = (white.back(rest) / np.maximum(sure, TINY))[None, :], np.maximum(sure, TINY)[None, :]
        none = np.zeros(1)
        squares = np.maximum(np.array([rest @ rest]), TINY)
        return Lines(none, none, squares, df, gone, sure, np.zeros_like(gone), white.logdet, information)
    own = white.of(columns)
    own = own - (own @ levels) @ levels.T
    lengths = np.maximum((own**2).sum(axis=1), TINY)
    b = own @ rest / lengths
    left = rest[None, :] - b[:, None] * own
    direction = white.back(own) / np.sqrt(lengths)[:, None]
    sure = np.maximum(sure[None, :] - direction**2, TINY)
    return Lines(
        b=b,
        unit=1 / lengths,
        squares=np.maximum((left**2).sum(axis=1), TINY),
        df=df - 1,
        gone=white.back(left) / sure,
        sure=sure,
        pull=direction / np.sqrt(lengths)[:, None],
        logdet=white.logdet,
        log_information=information + float(np.log(lengths[0])),
    )
