"""Verdict on a method of a stage, with its figures: how fast, since when, what the next pieces take less."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.learning import from_log, rate_of
from shopclock.analysis.model.verdict import Verdict, discoveries, look, verdict, without_improvement

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.learning.learning import BatchSizes, FitInput
    from shopclock.analysis.learning.shop_record import BatchSeries, ShopRecord
    from shopclock.analysis.model.verdict import Bounds, Look

FALSE = 0.05
"""False words of improvement among all in a table."""
NEXT = 10
"""So many pieces ahead it is said by how much each takes less."""


@dataclass(frozen=True, slots=True)
class Change:
    """Answer to "is it getting faster?": the verdict, and what is left of the minutes when the count doubles.

    `rates` is the 95 % interval of the stage alone. `rate` of an improvement is drawn to the
    shop's slope (a figure that only just counts is mostly luck, which that takes off), else it is the stage's own.
    `since` is the batch with which a step came, an improvement ended, or on which it all rests; `left` what is left
    after the step. `less`: the share by which the next ten pieces take less than the last one. `p` two-sided, of no
    change.
    """

    verdict: Verdict
    n: int
    rate: float
    rates: Range
    since: int | None
    left: float
    less: float
    sizes: BatchSizes
    p: float


def change(record: ShopRecord, stage: int, method: int, chosen: FitInput) -> Change | NoAnswer:
    """Return the verdict on a method, or why there is none."""
    series = record.series.get((stage, method))
    n = len(chosen.lots)
    if series is None or n < chosen.needed:
        return NoAnswer(NoAnswerReason.FEW, n, chosen.needed)
    found = look(series.series, record.pool)
    if found is None:
        return NoAnswer(NoAnswerReason.ONE_PLACE, n)
    said = verdict(found)
    b = _shrunk(found.bounds, record) if found.bounds.b < 0 else found.bounds.b
    made = record.made[stage, method]
    less = 1 - from_log(b * math.log((made + (NEXT + 1) / 2) / made))
    rates = Range(rate_of(found.bounds.low), rate_of(found.bounds.high))
    left = from_log(found.step.bounds.b) if found.step is not None else 1.0
    return Change(
        said, found.n, rate_of(b), rates, _since(series, found, said), left, less, chosen.sizes, found.bounds.p
    )


def _shrunk(own: Bounds, record: ShopRecord) -> float:
    """Return a slope drawn to the shop's by how unsure it is, held within its own interval.

    The mean of two normals, weighed by 1/variance: the stage's own slope, and those of the shop's stages.
    """
    variance = ((own.high - own.low) / 4) ** 2
    weight = variance / (variance + record.fit.scales.slope**2)
    return min(own.high, max(own.low, own.b + weight * (record.fit.shop_slope - own.b)))


def _since(series: BatchSeries, found: Look, said: Verdict) -> int | None:
    places = {Verdict.STEP: found.step, Verdict.ENDED: found.ended}
    shape = places.get(said)
    if shape is not None:
        return series.batches[shape.at if said is Verdict.STEP else shape.at - 1]
    return series.batches[found.bounds.alone] if said is Verdict.ONE_BATCH else None


def in_a_table(changes: Sequence[Change | NoAnswer]) -> list[Change | NoAnswer]:
    """Return verdicts as a table of all stages may say them: words of improvement at a false discovery rate of 5 %.

    One that is withheld is told as any other without them: about as long where its whole range is close to it.
    """
    ok = discoveries([1.0 if isinstance(one, NoAnswer) else one.p for one in changes], FALSE)
    return [
        replace(one, verdict=without_improvement(one.rates.low, one.rates.high))
        if isinstance(one, Change) and one.verdict.improved and not (fine and one.rate < 1)
        else one
        for one, fine in zip(changes, ok, strict=True)
    ]
