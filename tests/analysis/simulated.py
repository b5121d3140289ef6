"""Simulated shops whose truth is known: stages that get quicker, batches that are off together, weeks that differ."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from shopclock.analysis.forecast.history import Done, History
from shopclock.analysis.forecast.stage_forecast import BatchJob, StageJob
from tests.analysis.rows import DAY_US, MIN_US, row

if TYPE_CHECKING:
    from shopclock.shop.figures.trend_rows import TrendRow

STAGES = tuple(StageJob(i, f"stage {i}", None, 20.0) for i in range(1, 9))
SPREAD, RHO = 0.12, 0.4


@dataclass
class Truth:
    """A shop: minutes of its first piece by stage, what is left at each doubling, how many are lost."""

    dice: np.random.Generator
    firsts: np.ndarray = field(init=False)
    b: np.ndarray = field(init=False)
    lost: float = field(init=False)
    made: int = 0
    stages_min: list[float] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.firsts = self.dice.uniform(10, 60, len(STAGES))
        self.b = np.log2(self.dice.uniform(0.88, 1.0, len(STAGES)))
        self.lost = self.dice.uniform(0.0, 0.15)

    def batch(self, number: int, pieces: int) -> tuple[list[TrendRow], Done]:
        """Work a batch: rows of its passed pieces, and the batch with all its labour in minutes."""
        together = self.dice.standard_normal()
        off = SPREAD * (np.sqrt(RHO) * together + np.sqrt(1 - RHO) * self.dice.standard_normal(len(STAGES)))
        gone_at = np.where(
            self.dice.random(pieces) < self.lost, self.dice.integers(0, len(STAGES), pieces), len(STAGES)
        )
        gone_at[0] = len(STAGES)
        rows: list[TrendRow] = []
        self.stages_min = []
        numbers = self.made + 1 + np.arange(pieces)
        for i, stage in enumerate(STAGES):
            each = self.firsts[i] * np.mean(numbers ** self.b[i]) * np.exp(off[i])
            passed, stopped = int(np.sum(gone_at > i)), int(np.sum(gone_at == i))
            self.stages_min.append(each * (passed + stopped / 2))
            rows.append(row(number, each, passed, method=None, stage_id=stage.stage_id))
        self.made += pieces
        finished = int(np.sum(gone_at == len(STAGES)))
        start = number * DAY_US
        return rows, Done(number, pieces, finished, round(sum(self.stages_min) * MIN_US), start, start + DAY_US - 1)


DAY_MIN = 1440.0
EVENINGS = ((1, 120.0), (3, 120.0), (5, 180.0))
"""Planned: weekday and minutes, from the start of that day on."""
WAITS = {3: 1.0, 6: 1.0}
"""Days that pass before a stage can begin, by its place."""


@dataclass
class Habit:
    """How a maker keeps planned hours: comes by a chance, and so much of an evening becomes work."""

    dice: np.random.Generator
    comes: float
    share: float

    def evening(self, minutes: float) -> float:
        """Return the work of one planned evening."""
        if self.dice.random() >= self.comes:
            return 0.0
        return minutes * float(np.clip(self.share * self.dice.normal(1, 0.15), 0.05, 1.0))

    def week(self) -> float:
        """Return the yield of one week: work over planned."""
        return sum(self.evening(m) for _, m in EVENINGS) / sum(m for _, m in EVENINGS)


def done_at(habit: Habit, stages_min: list[float]) -> float:
    """Walk through the evenings, one after the other, until all stages are worked; minutes from a Monday."""
    left, at = list(enumerate(stages_min)), 0.0
    for week in range(300):
        for weekday, minutes in EVENINGS:
            start, work = (7 * week + weekday) * DAY_MIN, habit.evening(minutes)
            speed, now = work / minutes, max(start, at)
            while left and work > 0 and now < start + minutes:
                stage, need = left[0]
                spare = (start + minutes - now) * speed
                if need > spare:
                    left[0] = (stage, need - spare)
                    break
                now += need / speed
                left.pop(0)
                if left and left[0][0] in WAITS:
                    now += WAITS[left[0][0]] * DAY_MIN
                at = now
            if not left:
                return now
    raise AssertionError("no end in three hundred weeks")


def shop_of(seed: int, batches: int) -> tuple[Truth, History]:
    """A shop with so many batches behind it."""
    truth = Truth(np.random.default_rng(seed))
    told = [truth.batch(i + 1, int(truth.dice.integers(4, 11))) for i in range(batches)]
    return truth, History(tuple(r for rows, _ in told for r in rows), tuple(done for _, done in told), {})


def job(pieces: int) -> BatchJob:
    """Return the next batch."""
    return BatchJob(1, pieces, STAGES)
