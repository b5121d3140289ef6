"""Midpoints of many lots at once, and the b on which unit theory settles, for one or a thousand weightings."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    import numpy.typing as npt

    Floats = npt.NDArray[np.float64]

ROUNDS = 50
SETTLED = 1e-12


class LotSums:
    """The piece numbers of lots first…last, laid end to end."""

    def __init__(self, first: Sequence[int], last: Sequence[int]) -> None:
        import numpy as np

        self.sizes = np.asarray(last) - np.asarray(first) + 1
        self._starts = np.concatenate(([0], np.cumsum(self.sizes)[:-1]))
        self._logs = np.log(np.concatenate([np.arange(f, t + 1) for f, t in zip(first, last, strict=True)]))
        self._mean_logs = np.add.reduceat(self._logs, self._starts) / self.sizes
        self._ends = np.log(np.asarray(first, float)), np.log(np.asarray(last, float))

    def log_midpoints(self, b: Floats) -> Floats:
        """Return ln K for each of several b (down) and each lot (across)."""
        import numpy as np

        steep = b[:, None]
        flat = np.abs(steep) < 1e-6
        safe = np.where(flat, 1.0, steep)
        # Seen from the end that takes longest no power overflows, however steep b gets on the way.
        far = np.where(safe < 0, self._ends[0], self._ends[1])
        powers = np.expm1(safe * (self._logs - np.repeat(far, self.sizes, axis=1)))
        found = far + np.log1p(np.add.reduceat(powers, self._starts, axis=1) / self.sizes) / safe
        logs: Floats = np.where(flat, self._mean_logs, found)
        return logs


def settle(sums: LotSums, y: Floats, groups: Floats, weights: Floats) -> tuple[Floats, npt.NDArray[np.bool_]]:
    """Return b for each row of `weights`, and whether it settled: until it moves less than 1e-12, at most 50 rounds.

    `y`: ln minutes, one row for each row of `weights` or one for all; `groups`: one line for each lot, 1 in the
    column of its pattern, 0 elsewhere.
    """
    import numpy as np

    b = np.zeros(len(weights))
    moved = np.full(len(weights), np.inf)
    for _ in range(ROUNDS):
        new = slopes(sums.log_midpoints(b), y, groups, weights)
        moved, b = np.abs(new - b), new
        if (moved < SETTLED).all():
            break
    return b, moved < SETTLED


def slopes(x: Floats, y: Floats, groups: Floats, weights: Floats) -> Floats:
    """Return the slope of y on x about the weighted means of each group, for each row of `weights`."""
    off_x, off_y = _off_means(x, groups, weights), _off_means(y, groups, weights)
    found: Floats = (weights * off_x * off_y).sum(axis=1) / (weights * off_x**2).sum(axis=1)
    return found


def levels(x: Floats, y: Floats, groups: Floats, weights: Floats, b: Floats) -> Floats:
    """Return the level of each group (across) for each row of `weights` (down)."""
    found: Floats = (weights * (y - b[:, None] * x)) @ groups / (weights @ groups)
    return found


def _off_means(values: Floats, groups: Floats, weights: Floats) -> Floats:
    means = (weights * values) @ groups / (weights @ groups)
    off: Floats = values - means @ groups.T
    return off
