"""Lots made by hand, one after the other in the maker's count."""

from __future__ import annotations

from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

import numpy as np

from shopclock.analysis.learning.stage_trend import Lot
from tests.analysis.rows import DAY_US, MIN_US

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.shop.figures.trend_rows import LeftOut


def lots(
    minutes: Sequence[float],
    sizes: Sequence[int] | int = 5,
    patterns: Sequence[int] | int = 1,
    *,
    setup_min: Sequence[float] | float = 0,
    days: Sequence[int] | None = None,
    made_before: int = 0,
    out: dict[int, LeftOut] | None = None,
) -> list[Lot]:
    """Batches 1, 2, 3 … of these minutes per piece; `out`: why some of them don't count, by batch."""
    n = len(minutes)
    each = [sizes] * n if isinstance(sizes, int) else list(sizes)
    kinds = [patterns] * n if isinstance(patterns, int) else list(patterns)
    setups = [setup_min] * n if isinstance(setup_min, int | float) else list(setup_min)
    last = [made_before + m for m in accumulate(each)]
    return [
        Lot(
            batch_id=i + 1,
            pattern_id=kinds[i],
            number=i + 1,
            at_us=(days[i] if days else 20 * (i + 1)) * DAY_US,
            pieces=each[i],
            first_piece=last[i] - each[i] + 1,
            last_piece=last[i],
            minutes=minutes[i],
            setup_us=round(setups[i] * MIN_US),
            rework_us=0,
            left_out=(out or {}).get(i + 1),
        )
        for i in range(n)
    ]


def on_curve(first_min: float, rate: float, sizes: Sequence[int]) -> list[float]:
    """Minutes per piece of batches exactly on a curve, summed piece by piece."""
    counts = np.cumsum([0, *sizes])
    b = np.log(rate) / np.log(2)
    return [first_min * float(np.mean(np.arange(f + 1, t + 1) ** b)) for f, t in pairwise(counts)]
