"""Where a curve that falls with its count passes a level that moves in steps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.learning.lot import Lot

    Floats = npt.NDArray[np.float64]

IN_SIGHT = 3
"""How many times the count so far is looked ahead."""


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
    beside = [_by_then(earlier, lot.at_us) for lot in ordered]
    ends = (*last, IN_SIGHT * last[-1])
    return Stairs((1, *(n + 1 for n in last)), ends, (*beside, max(lot.last_piece for lot in earlier)))


def _by_then(lots: Sequence[Lot], at_us: int) -> int:
    done = [lot.last_piece for lot in lots if lot.at_us <= at_us]
    return max(done) if done else min(lot.last_piece for lot in lots)


def crossings(steps: Stairs, level: Floats, slope: Floats, other_level: Floats, other_slope: Floats) -> Floats:
    """Return the first count at which level + slope · ln count is not above the other's curve at its own count by then.

    One for each pair of curves; infinite where that is out of sight.
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
