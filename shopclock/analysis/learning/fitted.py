"""Which batches of a method go into a fit, with how many minutes, and which stay out."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from shopclock.shop.figures.trend_rows import LeftOut

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from shopclock.analysis.learning.lot import Lot


class Unfit(StrEnum):
    """Why a batch that counts stays out of a fit all the same."""

    NO_TIME = "no time"
    ONLY_ONE = "only one of its pattern"
    OTHER_PATTERN = "not a pattern of both methods"


class BatchSizes(StrEnum):
    """What the batches did between the first and the last third, where it can pass for skill."""

    ALIKE = "alike"
    GREW = "grew"
    SHRANK = "shrank"


Out = tuple[tuple[LeftOut | Unfit, int], ...]
"""How many batches were left out, by reason."""


@dataclass(frozen=True, slots=True)
class FitInput:
    """The lots of a fit by first start, and what each took: minutes per piece.

    `with_setup`: some batches pressed their set-up and others have it inside run, so all stand with it. Run alone
    would call it skill when a maker begins to press set-up.
    """

    lots: tuple[Lot, ...]
    minutes: tuple[float, ...]
    with_setup: bool
    left_out: Out

    @property
    def patterns(self) -> tuple[int, ...]:
        """The patterns, by first batch."""
        return tuple(dict.fromkeys(lot.pattern_id for lot in self.lots))

    @property
    def needed(self) -> int:
        """How many batches a rate takes: patterns + 4."""
        return max(1, len(self.patterns)) + 4

    @property
    def sizes(self) -> BatchSizes:
        """Whether batches changed more than 1.5 times in size while set-up was inside run."""
        third = max(1, len(self.lots) // 3)
        first, last = self.lots[:third], self.lots[-third:]
        if not self.lots or (all(lot.setup_us for lot in first + last) and not self.with_setup):
            return BatchSizes.ALIKE
        ratio = sum(lot.pieces for lot in last) / sum(lot.pieces for lot in first)
        return BatchSizes.GREW if ratio > 1.5 else BatchSizes.SHRANK if ratio < 1 / 1.5 else BatchSizes.ALIKE


def setup_mixed(lots: Iterable[Lot]) -> bool:
    """Tell whether some of the lots that count pressed their set-up and others have it inside run."""
    return len({lot.setup_us > 0 for lot in lots if lot.left_out is None and lot.minutes > 0}) > 1


def fit_input(
    lots: Sequence[Lot], patterns: Collection[int] | None = None, *, with_setup: bool | None = None
) -> FitInput:
    """Sort out the lots of one method: those that count, have taken time, and aren't the only one of their pattern.

    Of `patterns` alone where they are given. `with_setup`: whether set-up stands with run, where that is settled by
    more than these lots (the methods of a stage are compared on one footing); otherwise by these.
    """
    many = Counter(lot.pattern_id for lot in lots if lot.left_out is None and lot.minutes > 0)
    reasons = [_why_not(lot, many, patterns) for lot in lots]
    used = [lot for lot, reason in zip(lots, reasons, strict=True) if reason is None]
    used.sort(key=lambda lot: lot.number)
    mixes = setup_mixed(used) if with_setup is None else with_setup
    out = tuple((reason, reasons.count(reason)) for reason in (*LeftOut, *Unfit) if reason in reasons)
    return FitInput(tuple(used), tuple(lot_minutes(lot, with_setup=mixes) for lot in used), mixes, out)


def _why_not(lot: Lot, many: Counter[int], patterns: Collection[int] | None) -> LeftOut | Unfit | None:
    if lot.left_out is not None:
        return lot.left_out
    if lot.minutes <= 0:
        return Unfit.NO_TIME
    if patterns is not None and lot.pattern_id not in patterns:
        return Unfit.OTHER_PATTERN
    return Unfit.ONLY_ONE if many[lot.pattern_id] < 2 else None


def lot_minutes(lot: Lot, *, with_setup: bool) -> float:
    """Return minutes per piece: run, or run and set-up."""
    return lot.minutes + (lot.setup_us / lot.pieces / 60e6 if with_setup else 0.0)
