"""Learning curves in figures: factors of a piece and of all so far, midpoints, blocks.

Unit theory (Crawford): piece n takes T1 · n^b minutes; cumulative average theory (Wright): the first n take T1 · n^b
each on average. b = ln(rate)/ln 2; a rate of 0.85 says that with each doubling of the count 85 % remain.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


def from_log(log: float) -> float:
    """Return e^log, at most e^700: absurd batches give an absurd figure, never an error or infinity."""
    return math.exp(min(log, 700.0))


def exponent(rate: float) -> float:
    """Return b for a rate: −0.234 for 0.85."""
    return math.log2(rate)


def rate_of(b: float) -> float:
    """Return the rate for b: 0.85 for −0.234."""
    return from_log(b * math.log(2))


def unit_factor(n: float, rate: float) -> float:
    """Return what piece n takes by unit theory, in first pieces; by average theory, the mean of the first n."""
    return float(n ** exponent(rate))


def total_factor(n: int, rate: float) -> float:
    """Return what pieces 1…n take together by unit theory, in first pieces."""
    return block_sum(1, n, exponent(rate))


def block_sum(first: int, last: int, b: float) -> float:
    """Return the sum of i^b over pieces first…last."""
    return math.fsum(i**b for i in range(first, last + 1))


def midpoint(first: int, last: int, b: float) -> float:
    """Return the piece of a lot that takes its mean: [(1/Q)·Σ i^b]^(1/b), exactly."""
    if abs(b) < 1e-6:
        return math.exp(math.fsum(math.log(i) for i in range(first, last + 1)) / (last - first + 1))
    return float((block_sum(first, last, b) / (last - first + 1)) ** (1 / b))


@dataclass(frozen=True, slots=True)
class Block:
    """Pieces first…last by unit theory: how many, their midpoint, and what they take together."""

    pieces: int
    midpoint: float
    total: float


def block(first_of_it: float, first: int, last: int, rate: float) -> Block:
    """Return what pieces first…last take where piece `first` takes `first_of_it`, in its unit."""
    b = exponent(rate)
    total = first_of_it / first**b * block_sum(first, last, b)
    return Block(last - first + 1, midpoint(first, last, b), total)


def natural_rate(mean: float, first: float, n: int) -> float:
    """Return the rate by cumulative average theory where the first piece took `first` and n took `mean` each."""
    return rate_of(math.log(mean / first) / math.log(n))
