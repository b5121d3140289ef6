"""A shop's record and its copy at the desk, with what is pressed at either."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.record.desk.bringing_back import BringPlan, bring_back, plan
from shopclock.record.desk.looking import look_through
from shopclock.record.desk.taking_along import free_place, take_along
from shopclock.record.press.record import Record
from shopclock.shop.planning import orders
from shopclock.shop.state.desk_copy import check_out
from shopclock.shop.values.entities import Interval, Pattern, Stage
from shopclock.shop.work import amend, begin
from tests.record.on_disk import DiskShop
from tests.shop.workshop import MINUTE_US, ToyClock

if TYPE_CHECKING:
    from collections.abc import Collection


class Desk(DiskShop):
    """The desk's copy, open at the desk."""

    def __init__(self, shop: DiskShop) -> None:
        self.path, self.clock = free_place(shop.path.parent, shop.path), ToyClock()
        self.clock.on(us=shop.clock.now_us - self.clock.now_us)
        shop.record.press("Take along", check_out, undoable=False)
        take_along(shop.path, self.path, self.clock)
        self.record = Record.open(self.path, self.clock)
        self.pattern, self.batches, self.pressed = shop.pattern, shop.batches, 0


def joined(shop: DiskShop, desk: DiskShop, to_desk: Collection[int] | None = None) -> BringPlan:
    """Bring it back; what both changed is the desk's unless told otherwise."""
    found = look_through(shop.path, desk.path)
    every = range(len(found.entries)) if to_desk is None else to_desk
    planned = plan(shop.path, found, every)
    bring_back(shop.record, planned)
    return planned


def work(shop: DiskShop, batch: int = 0, minutes: int = 30) -> Interval:
    """A stretch at the first step by hand, and a pause."""
    step = next(s for s in shop.floor.steps(shop.batches[batch].id) if s.kind.attended)
    interval = shop.press(lambda tx: begin.begin(tx, step))
    shop.clock.on(us=minutes * MINUTE_US)
    shop.press(begin.stop)
    shop.clock.on(us=5 * MINUTE_US)
    return shop.floor.get(Interval, interval.id)


def rename(shop: DiskShop, name: str, n: int = 0) -> None:
    stage = list(shop.floor.all(Stage))[n]
    shop.press(lambda tx: tx.change(replace(tx.current(stage), name=name)))


def order(shop: DiskShop, who: str) -> None:
    pattern = next(shop.floor.all(Pattern))
    shop.press(lambda tx: orders.take_order(tx, who, pattern, 3))


def names(shop: DiskShop) -> list[str]:
    return [stage.name for stage in shop.floor.all(Stage)]


def intervals(shop: DiskShop) -> list[Interval]:
    return sorted(shop.floor.all(Interval), key=lambda i: i.id)


def take_off_a_minute(shop: DiskShop, which: int) -> Interval:
    interval = intervals(shop)[which]
    assert interval.end_us is not None
    end_us = interval.end_us - MINUTE_US
    return shop.press(lambda tx: amend.move_end(tx, interval, end_us, others_give_way=False))
