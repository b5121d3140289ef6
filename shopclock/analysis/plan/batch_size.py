"""How minutes per piece depend on how many are made at once."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import Range

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, slots=True)
class SizePoint:
    """A batch of so many pieces: its loads, minutes per piece with the range that set-up leaves, and its total."""

    pieces: int
    loads: int
    minutes: float
    range: Range | None
    total_min: float


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
    return tuple(_size(setup_min, run_min, n, capacity, setup_range) for n in sizes)


def _size(setup_min: float, run_min: float, n: int, capacity: int | None, setup_range: Range | None) -> SizePoint:
    total = batch_minutes(setup_min, run_min, n, capacity)
    ends = None
    if setup_range is not None:
        ends = Range(*(batch_minutes(s, run_min, n, capacity) / n for s in (setup_range.low, setup_range.high)))
    return SizePoint(n, loads(n, capacity), total / n, ends, total)
