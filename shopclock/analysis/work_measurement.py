"""From minutes watched to minutes to plan with: rating, allowances, and how many readings that takes."""

from __future__ import annotations

import math
from enum import StrEnum
from statistics import fmean, stdev
from typing import TYPE_CHECKING

from shopclock.analysis.answer import NoAnswer, Why

if TYPE_CHECKING:
    from collections.abc import Sequence


class ShareOf(StrEnum):
    """What an allowance for rest, sweeping and the phone is a share of."""

    JOB = "of the job"
    DAY = "of the day"


def normal_min(observed_min: float, rating: float = 1.0) -> float:
    """Return observed minutes at a normal pace; `rating` 1.1 was a tenth quicker than that."""
    return observed_min * rating


def standard_min(normal: float, allowance: float, share_of: ShareOf) -> float:
    """Return minutes to plan with: normal · (1 + A) for a share of the job, normal/(1 − A) for one of the day, A < 1.

    Source: Stevenson, Operations Management, 14th ed., chapter 7.
    """
    return normal * (1 + allowance) if share_of is ShareOf.JOB else normal / (1 - allowance)


def readings_needed(minutes: Sequence[float], within: float = 0.05, share: float = 0.95) -> int | NoAnswer:
    """Return how many readings hold the mean to ± `within` of itself, by those taken: n = (z · s/(h · x̄))², rounded up.

    Source: Heizer and Render, Operations Management, chapter 10. It takes two readings, with time in them.
    """
    from scipy.special import ndtri

    if len(minutes) < 2:
        return NoAnswer(Why.FEW, len(minutes), 2)
    if fmean(minutes) <= 0:
        return NoAnswer(Why.NO_TIME, len(minutes))
    needed = (float(ndtri((1 + share) / 2)) * stdev(minutes) / (within * fmean(minutes))) ** 2
    return max(1, math.ceil(needed - 1e-9))
