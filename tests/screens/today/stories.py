"""Shops that somebody comes into: what the gallery draws, and what the sizes are held to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.setup.list_edit import set_capacity
from shopclock.shop.setup.week import add_hours
from shopclock.shop.values.entities import Tool
from shopclock.shop.work import acts, begin, finish

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.shop.values.entities import Batch
    from tests.screens.bench.workshop import Workshop


def nothing(_: Workshop) -> None:
    """No batch."""


def fresh(shop: Workshop) -> None:
    """One batch, never started."""
    shop.batch("Paring 95", 7)


def cold(shop: Workshop) -> None:
    """Three open batches: one is hardened and not tempered, one cures, one waits to be drilled."""
    cooks = shop.batch("Cook's 180", 4, "Kitchen knife")
    oyster = shop.batch("Oyster", 8)
    paring = shop.batch("Paring 95", 4)
    _work(shop, oyster, "Profile", 80, next_too=True)
    _work(shop, paring, "Glue up", 40, next_too=True)
    _harden(shop, cooks)
    shop.clock.go(41)


def rows_over(shop: Workshop) -> None:
    """Two batches spoil, one of them already too long."""
    cold(shop)
    _harden(shop, shop.batch("Boning 150", 6))
    shop.clock.go(20)


def cures(shop: Workshop) -> None:
    """Everything is in a wait, in a shop with clamps for all of it."""
    made = [shop.batch("Paring 95", 6) for _ in range(3)]
    clamps = next(tool for tool in shop.record.floor.all(Tool) if tool.name == "clamps")
    shop.record.press("More clamps", lambda tx: set_capacity(tx, clamps, "48"))
    for batch in made:
        _work(shop, batch, "Glue up", 40, next_too=True)


def crowd(shop: Workshop) -> None:
    """Six open batches, more work than fits on a page."""
    cold(shop)
    for n in range(3):
        _work(shop, shop.batch("Oyster", 6 + n), "Grind bevels", 20)


def quiet(shop: Workshop) -> None:
    """Two open batches, and three weeks in which nobody timed anything."""
    shop.batch("Paring 95", 7)
    shop.batch("Oyster", 6)
    shop.record.press("Hours", lambda tx: add_hours(tx, 1, 19 * 60, 21 * 60))
    shop.clock.go(22 * 1440)


def _work(shop: Workshop, batch: Batch, step: str, minutes: float, *, next_too: bool = False) -> None:
    """Work at a step for a while, then stop, or have it all go on."""
    record = shop.record
    interval, _ = record.press("Start", lambda tx: begin.begin(tx, shop.step(step, batch)))
    shop.clock.go(minutes)
    if next_too:
        record.press("Next", lambda tx: acts.go_on(tx, interval))
    if any(i.kind.attended for i in record.floor.running.values()):
        record.press("Stop", begin.stop)


def _harden(shop: Workshop, batch: Batch) -> None:
    interval, _ = shop.record.press("Start", lambda tx: begin.begin(tx, shop.step("Harden", batch)))
    for _ in interval.pieces:
        shop.clock.go(6)
        running = next(i for i in shop.record.floor.running.values() if i.step_id == interval.step_id)
        shop.record.press("Done", lambda tx, here=running: finish.one_done(tx, here))
    shop.record.press("Stop", begin.stop)


STATES: dict[str, Callable[[Workshop], None]] = {
    state.__name__: state for state in (nothing, fresh, cold, rows_over, cures, crowd, quiet)
}
"""Today, each made by presses."""
