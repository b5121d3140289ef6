"""Adjust: method, set-up, a start moved back, an interruption taken off. Only what makes sense is offered."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from shopclock.shop.state.wording import time_text, zone_of
from shopclock.shop.values.entities import Interval, Method
from shopclock.shop.values.kinds import Kind, WorkKind
from shopclock.shop.work import adjust
from shopclock.views.dialogs import Choice

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from shopclock.screens.bench.current_work import CurrentWork
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction

SINCE_MIN = (5, 10, 15, 20, 30)
TAKE_OFF_MIN = (5, 10, 15, 20)
LATELY_US = 15 * adjust.MINUTE_US
"""How long after a start it can still be moved back. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class AdjustOption:
    """One thing that can be put right: how it is offered, what it is called, what it does."""

    choice: Choice
    what: str
    rule: Callable[[Transaction], Any]


def options(floor: ShopFloor, hand: CurrentWork, maker_id: int, now_us: int) -> list[AdjustOption]:
    """Return everything that can be put right on the plate now."""
    found = list(_take_off(floor, maker_id, now_us))
    if hand.running and hand.interval is not None:
        found = [*_work(hand.interval), *_methods(floor, hand.interval), *_since(floor, hand.interval, now_us), *found]
    return found


def _methods(floor: ShopFloor, interval: Interval) -> Iterator[AdjustOption]:
    if interval.step_id is None:
        return
    methods = [m for m in floor.all(Method) if m.stage_id == interval.stage_id and not m.put_away]
    for method in methods if len(methods) > 1 else ():
        chosen = method.id == interval.method_id
        choice = Choice(f"method:{method.id}", method.name, "method", checked=chosen)
        yield AdjustOption(choice, f"Method {method.name}", partial(_use, interval, method))


def _use(interval: Interval, method: Method, tx: Transaction) -> Interval:
    return adjust.use_method(tx, interval, method)


def _work(interval: Interval) -> Iterator[AdjustOption]:
    if interval.step_id is None or interval.work is WorkKind.REWORK:
        return
    if interval.work is WorkKind.SETUP:
        yield AdjustOption(
            Choice("set-up", "Now running", "set-up is over"), "Now running", partial(_now_running, interval)
        )
    else:
        yield AdjustOption(Choice("set-up", "Set-up", "from now on"), "Set-up", partial(_set_up, interval))


def _now_running(interval: Interval, tx: Transaction) -> Interval:
    return adjust.now_running(tx, interval)


def _set_up(interval: Interval, tx: Transaction) -> Interval:
    return adjust.set_up(tx, interval)


def _since(floor: ShopFloor, interval: Interval, now_us: int) -> Iterator[AdjustOption]:
    """Return the starts that are possible: not before other work of the same hands began."""
    if now_us - interval.start_us > LATELY_US:
        return
    zone, earliest = zone_of(floor), adjust.earliest_start(floor, interval)
    for minutes in SINCE_MIN:
        at = now_us - minutes * adjust.MINUTE_US
        if earliest <= at < interval.start_us:
            label = f"Since {time_text(at, zone)}"
            yield AdjustOption(
                Choice(f"since:{minutes}", label, f"{minutes} min ago"), label, partial(_start, interval, at)
            )
    stop = last_stop(floor, interval)
    if stop is not None and earliest <= stop < interval.start_us:
        label = f"Since {time_text(stop, zone)}"
        yield AdjustOption(Choice("since:stop", label, "the last stop"), label, partial(_start, interval, stop))


def _start(interval: Interval, at_us: int, tx: Transaction) -> Interval:
    return adjust.start_since(tx, interval, at_us)


def last_stop(floor: ShopFloor, interval: Interval) -> int | None:
    """Return when the same hands stopped before an interval began; nothing where it took over from other work."""
    numbers = floor.hands.ended_after(interval.maker_id, interval.start_us - adjust.DAY_US)
    ends = [floor.get(Interval, number).end_us or 0 for number in numbers]
    last = max((end for end in ends if end <= interval.start_us), default=interval.start_us)
    return last if last < interval.start_us else None


def _take_off(floor: ShopFloor, maker_id: int, now_us: int) -> Iterator[AdjustOption]:
    """Return the minutes that all of what runs, or was stopped last, has run for."""
    most = min((adjust.most_to_take_off(floor, i, now_us) for i in _taken_from(floor, maker_id)), default=0)
    for minutes in TAKE_OFF_MIN:
        if minutes * adjust.MINUTE_US < most:
            choice = Choice(f"off:{minutes}", f"Take off {minutes} min", "the last ones")
            yield AdjustOption(choice, f"{minutes} min off", partial(_off, minutes))


def _off(minutes: int, tx: Transaction) -> list[Interval]:
    return adjust.take_off(tx, minutes)


def _taken_from(floor: ShopFloor, maker_id: int) -> list[Interval]:
    running = [i for i in floor.running.values() if i.maker_id == maker_id and i.kind.attended]
    if running:
        return [i for i in running if i.kind is Kind.HANDS_ON] or running
    return [floor.get(Interval, number) for number in floor.hands.last_ended(maker_id)]
