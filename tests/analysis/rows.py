"""Rows made by hand: a batch at a stage, said in minutes and days."""

from __future__ import annotations

from shopclock.shop.figures.trend_rows import TrendRow

MIN_US = 60_000_000
DAY_US = 86_400_000_000
BEVELS, JIG, FREEHAND = 4, 1, 2


def row(batch: int, minutes: float, pieces: int = 5, *, method: int | None = FREEHAND, **other: object) -> TrendRow:
    """A batch that began at the stage on the day of its number; `minutes` for each piece."""
    run_us = round(minutes * pieces * MIN_US)
    plain: dict[str, object] = {
        "batch_id": batch,
        "pattern_id": 1,
        "stage_id": BEVELS,
        "method_id": method,
        "mixed": False,
        "complete": True,
        "pieces": pieces,
        "run_us": run_us,
        "setup_us": 0,
        "rework_us": 0,
        "estimated_us": 0,
        "shared_us": 0,
        "first_us": batch * DAY_US,
        "middle_us": batch * DAY_US + run_us // 2,
    }
    return TrendRow(**(plain | other))
