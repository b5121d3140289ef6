"""Fits to batches drawn again: how far an answer could have come out otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.learning.learning import in_groups
from shopclock.analysis.learning.lot_sums import levels, slopes

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.learning.learning import Learning

    Floats = npt.NDArray[np.float64]

RESAMPLED = 1000


def as_fitted(fit: Learning) -> tuple[Floats, Floats]:
    """Return the mean level over the patterns and the slope, as arrays of one."""
    import numpy as np

    own = [level.at for level in fit.line.levels.values()]
    return np.array([sum(own) / len(own)]), np.array([fit.line.slope])


def resampled(fit: Learning, dice: np.random.Generator) -> tuple[Floats, Floats]:
    """Return mean levels and slopes of fits to batches drawn again from each pattern, midpoints held at the fit's."""
    import numpy as np

    x = np.log([[point.midpoint for point in fit.points]])
    y = np.log([[point.minutes for point in fit.points]])
    groups = in_groups(fit.fitted)
    weights = _weights(groups, dice)
    b = slopes(x, y, groups, weights)
    return levels(x, y, groups, weights, b).mean(axis=1), b


def _weights(groups: Floats, dice: np.random.Generator) -> Floats:
    """Return how often each batch is drawn, RESAMPLED times; each pattern keeps its number of batches.

    Draws through which no slope can be laid give way to the first that are sound.
    """
    import numpy as np

    weights = np.zeros((RESAMPLED, len(groups)))
    for column in groups.T:
        own = np.flatnonzero(column)
        weights[:, own] = dice.multinomial(len(own), np.full(len(own), 1 / len(own)), size=RESAMPLED)
    return np.resize(weights[_can_be_fitted(weights, groups)], weights.shape)


def _can_be_fitted(weights: Floats, groups: Floats) -> npt.NDArray[np.bool_]:
    """Tell which draws hold two different batches of one pattern."""
    import numpy as np

    found: npt.NDArray[np.bool_] = np.any((weights > 0).astype(float) @ groups > 1, axis=1)
    return found


def ends(values: Floats) -> tuple[float, float]:
    """Return the 2.5 and 97.5 % points, each a value that was drawn: some are infinite."""
    import numpy as np

    low, high = np.quantile(values, [0.025, 0.975], method="inverted_cdf")
    return float(low), float(high)
