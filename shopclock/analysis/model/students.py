"""Student's t, and variances squeezed toward those of the neighbours."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    import numpy.typing as npt

    Floats = npt.NDArray[np.float64]


def quantile(df: float, share: float) -> float:
    """Value that Student's t of `df` degrees of freedom doesn't exceed in this share of draws."""
    from scipy.special import stdtrit

    return float(stdtrit(df, share))


def tail(df: float | Floats, t: float | Floats) -> Floats:
    """Share of draws of Student's t beyond |t|, on one side."""
    import numpy as np
    from scipy.special import stdtr

    beyond: Floats = np.asarray(stdtr(df, -np.abs(t)), float)
    return beyond


def log_density(df: float, t: Floats) -> Floats:
    """Natural logarithm of the density of Student's t of `df` degrees of freedom."""
    import numpy as np
    from scipy.special import gammaln

    scale = gammaln((df + 1) / 2) - gammaln(df / 2) - 0.5 * math.log(df * math.pi)
    found: Floats = scale - (df + 1) / 2 * np.log1p(t**2 / df)
    return found


@dataclass(frozen=True, slots=True)
class Spread:
    """Variance of ln minutes that a shop's stages are squeezed to, and the degrees of freedom that it weighs."""

    variance: float
    df: float

    def with_own(self, squares: float | Floats, df: float | Floats) -> float | Floats:
        """Return a stage's squeezed variance from its sum of squares: (d0·s0² + squares)/(d0 + df).

        Source: G. K. Smyth 2004, Linear models and empirical Bayes methods (limma), equation for s̃².
        """
        return (self.df * self.variance + squares) / (self.df + df)


START = Spread(0.18**2, 4.0)
"""Before any stage tells its own: batches lie about 18 % off. A start, no source."""
LEAST, MOST = 2.0, 60.0
"""Degrees of freedom between which the weight of the shop's spread is held."""


def squeeze(variances: Sequence[float], df: Sequence[float]) -> Spread:
    """Return what the variances of many stages, each of so many degrees of freedom, have in common.

    By the moments of ln s² (G. K. Smyth 2004, section 6.2): s0² from their mean, d0 from what their variance has beyond
    that of chance. Under three stages d0 is 4; without any it is all a start.
    """
    import numpy as np
    from scipy.special import digamma, polygamma

    if not variances:
        return START
    s2, d = np.maximum(np.asarray(variances, float), 1e-8), np.asarray(df, float)
    logs = np.log(s2) - digamma(d / 2) + np.log(d / 2)
    mean = float((logs * d).sum() / d.sum())
    if len(s2) < 3:
        return Spread(math.exp(mean), START.df)
    beyond = float(logs.var(ddof=1) - polygamma(1, d / 2).mean())
    choices = np.geomspace(LEAST, MOST, 60)
    d0 = float(choices[np.argmin(np.abs(polygamma(1, choices / 2) - max(beyond, 1e-3)))])
    return Spread(math.exp(mean + float(digamma(d0 / 2)) - math.log(d0 / 2)), d0)
