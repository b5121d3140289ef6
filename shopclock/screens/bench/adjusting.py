"""Adjust: method, set-up, a start moved back, an interruption taken off. Only what makes sense is offered."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

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
    rule: Callable[[Transaction], object]


def options(floor: ShopFloor, hand: CurrentWork, maker_id: int, now_us: int) -> list[AdjustOption]:
    """Return everything that can be put right on the plate now."""
    found: list[AdjustOption] = []
    if hand.running and hand.interval is not None:
        if hand.interval.step_id is not None:
            found += [*_work(hand.interval), *_methods(floor, hand.interval)]
        found += _since(floor, hand.interval, now_us)
    return [*found, *_take_off(floor, maker_id, now_us)]


def _work(interval: Interval) -> Iterator[AdjustOption]:
    if interval.work is WorkKind.SETUP:
        choice = Choice("set-up", "Now running", "set-up is over")
        yield AdjustOption(choice, "Now running", lambda tx: adjust.now_running(tx, interval))
    elif interval.work is not WorkKind.REWORK:
        choice = Choice("set-up", "Set-up", "from now on")
        yield AdjustOption(choice, "Set-up", lambda tx: adjust.set_up(tx, interval))


def _methods(floor: ShopFloor, interval: Interval) -> Iterator[AdjustOption]:
    methods = [m for m in floor.all(Method) if m.stage_id == interval.stage_id and not m.put_away]
    for method in methods if len(methods) > 1 else ():
        choice = Choice(f"method:{method.id}", method.name, "method", checked=method.id == interval.method_id)
        use = partial(adjust.use_method, interval=interval, method=method)
        yield AdjustOption(choice, f"Method {method.name}", use)


def _since(floor: ShopFloor, interval: Interval, now_us: int) -> Iterator[AdjustOption]:
    """Return the starts that are possible: not before other work of the same hands began."""
    if now_us - interval.start_us > LATELY_US:
        return
    starts = [(f"since:{n}", now_us - n * adjust.MINUTE_US, f"{n} min ago") for n in SINCE_MIN]
    stop = _last_stop(floor, interval)
    if stop is not None:
        starts.append(("since:stop", stop, "the last stop"))
    zone, earliest = zone_of(floor), adjust.earliest_start(floor, interval)
    for key, at_us, detail in starts:
        if earliest <= at_us < interval.start_us:
            label = f"Since {time_text(at_us, zone)}"
            begin = partial(adjust.start_since, interval=interval, start_us=at_us)
            yield AdjustOption(Choice(key, label, detail), label, begin)


def _last_stop(floor: ShopFloor, interval: Interval) -> int | None:
    """Return when the same hands stopped before an interval began; nothing where it took over from other work."""
    numbers = floor.hands.ended_after(interval.maker_id, interval.start_us - adjust.DAY_US)
    ends = [floor.get(Interval, number).end_us or 0 for number in numbers]
    last = max((end for end in ends if end <= interval.start_us), default=interval.start_us)
    return last if last < interval.start_us else None


def _take_off(floor: ShopFloor, maker_id: int, now_us: int) -> Iterator[AdjustOption]:
    """Return the minutes that all of what runs, or was stopped last, has run for."""
    taken = [i for i in floor.running.values() if i.maker_id == maker_id and i.kind.attended]
    taken = [i for i in taken if i.kind is Kind.HANDS_ON] or taken
    if not taken:
        taken = [floor.get(Interval, number) for number in floor.hands.last_ended(maker_id)]
    most = min((adjust.most_to_take_off(floor, i, now_us) for i in taken), default=0)
    for minutes in TAKE_OFF_MIN:
        if minutes * adjust.MINUTE_US < most:
            choice = Choice(f"off:{minutes}", f"Take off {minutes} min", "the last ones")
            yield AdjustOption(choice, f"{minutes} min off", partial(adjust.take_off, minutes=minutes))
