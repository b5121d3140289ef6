"""The short texts that alarms say the same way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.state.wording import shop_time, when_text
from shopclock.shop.values.entities import Batch

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Interval


def of_batch(floor: ShopFloor, interval: Interval) -> str:
    """Name the batch of an interval; nothing for shop work."""
    return floor.get(Batch, interval.batch_id).name if interval.batch_id is not None else ""


def day_aside(at_us: int, now_us: int, zone: ZoneInfo) -> tuple[str, str]:
    """Return a clock time, and the day apart where it isn't today."""
    clock = f"{shop_time(at_us, zone):%H:%M}"
    return clock, when_text(at_us, now_us, zone).removesuffix(clock).strip()
