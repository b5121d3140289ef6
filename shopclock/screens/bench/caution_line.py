"""The caution on the plate: while what it is about runs for the first time that day, of a wait until the next press."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.screens.bench.current_work import chain_start
from shopclock.shop.values.entities import CautionShown

if TYPE_CHECKING:
    from shopclock.screens.bench.current_work import CurrentWork
    from shopclock.screens.bench.state import PlateState
    from shopclock.shop.state.shop_floor import ShopFloor


def caution_line(floor: ShopFloor, hand: CurrentWork, opened_us: int, touched_us: int) -> str:
    """Return the caution to show, or nothing; what was shown before the window opened is not shown again."""
    shown = [c for c in floor.all(CautionShown) if c.at_us >= opened_us]
    fresh = next((c.caution for c in reversed(shown) if c.at_us >= touched_us), "")
    return fresh or next((c.caution for c in reversed(shown) if _is_of(floor, hand, c)), "")


def with_caution(plate: PlateState, caution: str) -> PlateState:
    """Return the plate with a caution: under the pace, or in place of the line where there is no clock."""
    if plate.big is None:
        return replace(plate, caution=caution)
    return replace(plate, line=caution) if caution and not plate.urgent else plate


def _is_of(floor: ShopFloor, hand: CurrentWork, shown: CautionShown) -> bool:
    interval = hand.interval if hand.running else None
    if interval is None or interval.stage_id != shown.stage_id or not interval.kind.attended:
        return False
    return shown.at_us >= chain_start(floor, interval)
