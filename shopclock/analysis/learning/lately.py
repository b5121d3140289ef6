"""Rows that a stage's page is worked out from: all of its own, and the newest batches of the others."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.learning.frame import NO_METHOD, Series
from shopclock.analysis.learning.shop_record import MOST_BATCHES

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shopclock.shop.figures.trend_rows import TrendRow


def lately(
    rows: Sequence[TrendRow], stage_id: int, made_before: Mapping[Series, int]
) -> tuple[tuple[TrendRow, ...], dict[Series, int]]:
    """Return a stage's rows with those that others have of the shop's newest batches, and what was made before.

    What was cut away counts as made before timing began: places in the count stay as they are.
    """
    starts: dict[int, int] = {}
    for row in rows:
        starts[row.batch_id] = min(row.first_us, starts.get(row.batch_id, row.first_us))
    kept = set(sorted(starts, key=lambda batch: (starts[batch], batch))[-MOST_BATCHES:])
    before = dict(made_before)
    found = []
    for row in rows:
        if row.stage_id == stage_id or row.batch_id in kept:
            found.append(row)
        else:
            key = (row.stage_id, row.method_id or NO_METHOD, row.mixed)
            before[key] = before.get(key, 0) + row.pieces
    return tuple(found), before
