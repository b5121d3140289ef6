"""How long pieces are away when work is sent out: by this shop's own record, else as it was told."""

from __future__ import annotations

from collections import defaultdict
from statistics import median
from typing import TYPE_CHECKING

from shopclock.shop.setup.sent_out import days_of
from shopclock.shop.values.entities import Stage
from shopclock.shop.values.kinds import Kind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shopclock.record.read.rows import IntervalRow
    from shopclock.shop.state.shop_floor import ShopFloor

LAST = 8
DAY_MIN = 24 * 60
MINUTE_US = 60_000_000


def away_min(floor: ShopFloor, rows: Iterable[IntervalRow]) -> dict[int, float]:
    """Return the minutes that pieces are usually away, by stage: the median of the last eight times they were.

    Where they never were, the days that its cost was told with; a stage of which neither is known is left out.
    """
    told = {stage.id: days_of(floor, stage.id) for stage in floor.all(Stage)}
    found = {stage: float(days * DAY_MIN) for stage, days in told.items() if days is not None}
    return found | {stage: median(lengths[-LAST:]) for stage, lengths in _lengths(rows).items()}


def _lengths(rows: Iterable[IntervalRow]) -> dict[int, list[float]]:
    """Return how long each time was that pieces came back from, by stage and start; pieces gone together count once."""
    found: dict[int, list[float]] = defaultdict(list)
    for row in rows:
        if row.kind is Kind.AWAY and row.end_us is not None:
            found[row.stage_id].append((row.end_us - row.start_us) / MINUTE_US)
    return found
