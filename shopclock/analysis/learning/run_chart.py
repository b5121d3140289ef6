"""Was this batch out of the ordinary? Each against the line of all the others, batch after batch."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.learning import FitInput, Out, from_log
from shopclock.analysis.model.verdict import standings

if TYPE_CHECKING:
    from shopclock.analysis.learning.shop_record import ShopRecord
    from shopclock.analysis.learning.stage_trend import Lot

ENOUGH = 3


@dataclass(frozen=True, slots=True)
class RunPoint:
    """A batch in the chart: minutes per piece, what the others let expect with its limits; `told`: it lies outside."""

    lot: Lot
    minutes: float
    expected: float
    limits: Range
    told: bool


@dataclass(frozen=True, slots=True)
class BatchAfterBatch:
    """All batches of a method in order."""

    dots: tuple[RunPoint, ...]
    left_out: Out


def batch_after_batch(record: ShopRecord, stage: int, method: int, chosen: FitInput) -> BatchAfterBatch | NoAnswer:
    """Return how each batch of a method stands to the line of the others.

    It takes three, and two more than patterns.
    """
    series = record.series.get((stage, method))
    found = standings(series.series, record.pool) if series is not None else None
    if series is None or found is None:
        return NoAnswer(NoAnswerReason.FEW, len(chosen.lots), max(ENOUGH, len(chosen.patterns) + 2))
    by_batch = dict(zip(series.batches, found, strict=True))
    dots = []
    for lot, minutes in zip(chosen.lots, chosen.minutes, strict=True):
        one = by_batch[lot.batch_id]
        log = math.log(minutes) - one.off
        limits = Range(from_log(log - one.limit), from_log(log + one.limit))
        dots.append(RunPoint(lot, minutes, from_log(log), limits, one.wild))
    return BatchAfterBatch(tuple(dots), chosen.left_out)
