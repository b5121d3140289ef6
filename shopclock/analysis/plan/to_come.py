"""Hours of work still to come in each open batch."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import QUICK_DRAWS, at
from shopclock.analysis.plan.plan import Planner, labour_left
from shopclock.record.read.read_only import ReadOnlyRecord

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class HoursToCome:
    """Hours by hand and stay by it that a batch still takes: from and to, once in 10 less and once in 10 more."""

    low: float
    high: float


def hours_to_come(path: str, now_us: int, draws: int = QUICK_DRAWS) -> dict[int, HoursToCome]:
    """Return the hours that each open batch of a record still takes, by its number.

    A batch with nothing left has none; a stage of which nothing is known makes the hours of its batch unknown.
    """
    with ReadOnlyRecord.open(Path(path)) as reading:
        planner = Planner(reading.floor, reading.reads, now_us)
        left = labour_left(reading.floor, planner.knowledge, planner.open, draws)
        return {
            batch.batch_id: HoursToCome(at(minutes, 0.1) / 60, at(minutes, 0.9) / 60)
            for batch, minutes in zip(planner.open, left, strict=True)
            if batch.batch_id is not None and minutes is not None
        }
