"""One order: how surely its promise holds, and by which day all of it is there."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import DRAWS, LIKELY
from shopclock.analysis.plan.plan import Planner
from shopclock.analysis.plan.promise import day_by, end_of, order_ready, times_text
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.planning.orders import promised_day
from shopclock.shop.state.wording import day_text
from shopclock.shop.values.entities import CustomerOrder

if TYPE_CHECKING:
    from datetime import date


@dataclass(frozen=True, slots=True)
class OrderTold:
    """Answer about an order: in words; the day by which all is there 8 times in 10, and how often the promise holds.

    `holds` is nothing without a promise, and where too few weeks are known to say how often a day holds.
    """

    said: str
    day: date | None
    holds: float | None
    kept: bool

    @property
    def often(self) -> str:
        """Words for how often the promise holds; empty where that can't be told."""
        return times_text(self.holds) if self.holds is not None else ""


def order_told(path: str, order_id: int, now_us: int, draws: int = DRAWS) -> OrderTold:
    """Tell how an open order stands in the plan; ShopError where no plan can be made."""
    import numpy as np

    with ReadOnlyRecord.open(Path(path)) as reading:
        floor = reading.floor
        planner = Planner(floor, reading.reads, now_us)
        found = planner.plan_of((*planner.open, *planner.owed(draws)), draws)
        order = floor.get(CustomerOrder, order_id)
        ready_min = order_ready(floor, found, order)
        day, promised = day_by(floor, found, ready_min, LIKELY), promised_day(order)
        by = f"by {day_text(day)}, {found.how_sure}" if day is not None else "on no day within two years"
        told = f"All of it {by}."
        if promised is None:
            return OrderTold(told, day, None, True)
        until = (end_of(floor, promised) - now_us) / 60e6
        share = float(np.mean(ready_min <= until))
        kept = share >= LIKELY
        if not found.dated:
            return OrderTold(told, day, None, kept)
        often = f"{day_text(promised)} holds {times_text(share)}."
        return OrderTold(often if kept else f"{often} {told}", day, share, kept)
