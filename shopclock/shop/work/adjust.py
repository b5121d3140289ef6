"""Putting a running interval right: method, set-up, its start, an interruption."""

from dataclasses import replace

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Interval, Method, Tally
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Certainty, Kind, WorkKind
from shopclock.shop.work.begin import attended, split

MINUTE_US = 60_000_000
DAY_US = 24 * 60 * MINUTE_US


def use_method(tx: Transaction, interval: Interval, method: Method) -> Interval:
    """Go on by another method."""
    if interval.method_id == method.id:
        return interval
    return split(tx, replace(tx.current(interval), method_id=method.id))


def set_up(tx: Transaction, interval: Interval) -> Interval:
    """Go on as set-up from now."""
    return split(tx, replace(tx.current(interval), work=WorkKind.SETUP))


def now_running(tx: Transaction, interval: Interval) -> Interval:
    """Set-up is over; from now on it is the work itself."""
    return split(tx, replace(tx.current(interval), work=WorkKind.RUN))


def earliest_start(floor: ShopFloor, interval: Interval) -> int:
    """Return how far the start of a running interval can be moved back.

    Not past the start of other work of the same hands or with the same pieces, nor past the last
    piece done there: of these nothing may be left with a negative length. Nor past what is on the
    floor: what ended before that is on the disk alone.
    """
    limits = [max(interval.start_us - DAY_US, min(floor.horizon_us, interval.start_us))]
    for other in _rivals(floor, interval, interval.start_us - DAY_US):
        limits.append(other.start_us)
        limits.extend(t.at_us for t in floor.hands.done_in(other) if t.at_us != other.end_us)
    return max(limits)


def start_since(tx: Transaction, interval: Interval, start_us: int) -> Interval:
    """Move the start of a running interval back; the end of what ran before moves with it."""
    if not earliest_start(tx.floor, interval) <= start_us < interval.start_us:
        raise Refusal("That time lies before other work began. Nothing was changed.")
    for other in _rivals(tx.floor, interval, start_us):
        for tally in tx.floor.of_batch(Tally, other.batch_id) if other.batch_id else ():
            if tally.step_id == other.step_id and tally.at_us == other.end_us:  # made by the press that ended it
                tx.change(replace(tally, at_us=start_us))
        move_marks_at_end(tx, other, start_us)
        tx.change(replace(other, end_us=start_us, end_sure=Certainty.AMENDED))
    return tx.change(replace(tx.current(interval), start_us=start_us, start_sure=Certainty.AMENDED))


def _rivals(floor: ShopFloor, interval: Interval, after_us: int) -> list[Interval]:
    """Return what ended after an instant by the same hands, with the same pieces, or going on as this."""
    before = floor.find(Interval, interval.continues_id or 0)
    others = [before] if before is not None else []
    if interval.kind is Kind.HANDS_ON:
        ended = (floor.get(Interval, number) for number in floor.hands.ended_after(interval.maker_id, after_us))
        others += [i for i in ended if i.kind is Kind.HANDS_ON]
    if interval.batch_id is not None:
        pieces = set(interval.pieces)
        others += [i for i in floor.of_batch(Interval, interval.batch_id) if pieces & set(i.pieces)]
    found = {other.id: other for other in others if other.end_us is not None and other.end_us > after_us}
    return list(found.values())


def take_off(tx: Transaction, minutes: int) -> list[Interval]:
    """Take the last minutes off: an interruption that just ended, or a stop pressed too late.

    What runs stops before them and goes on now, as the same stretch; where nothing runs, what
    was stopped last ends earlier.
    """
    gap = minutes * MINUTE_US
    running = [i for i in attended(tx) if i.kind is Kind.HANDS_ON] or attended(tx)
    found = running or [tx.floor.get(Interval, number) for number in tx.floor.hands.last_ended(tx.maker_id)]
    if not found:
        raise Refusal("There is nothing to take time off. Nothing was changed.")
    for interval in found:
        if gap >= most_to_take_off(tx.floor, interval, tx.now_us):
            raise Refusal("It has not run that long. Nothing was changed.")
    return [_shorter(tx, interval, gap) for interval in found]


def most_to_take_off(floor: ShopFloor, interval: Interval, now_us: int) -> int:
    """Return how many microseconds can be taken off the end of an interval; marks made at its end move with it."""
    end = interval.end_us if interval.end_us is not None else now_us
    done = [tally.at_us for tally in floor.hands.done_in(interval) if tally.at_us != interval.end_us]
    return end - max([interval.start_us, *done])


def move_marks_at_end(tx: Transaction, interval: Interval, at_us: int) -> None:
    """Move what was marked done, or lost, at the end of an interval to where that end will be."""
    for tally in tx.floor.hands.done_in(interval):
        if tally.at_us == interval.end_us:
            tx.change(replace(tally, at_us=at_us))
    for loss in tx.floor.hands.lost_in(interval):
        if loss.at_us == interval.end_us:
            tx.change(replace(loss, at_us=at_us))


def _shorter(tx: Transaction, interval: Interval, gap: int) -> Interval:
    """End an interval earlier; one that runs goes on now, as the same stretch."""
    again = split(tx, tx.current(interval)) if interval.running else None
    ended = tx.current(interval)
    end_us = ended.end_us if ended.end_us is not None else tx.now_us
    move_marks_at_end(tx, ended, end_us - gap)
    shorter = tx.change(replace(ended, end_us=end_us - gap, end_sure=Certainty.AMENDED))
    return tx.change(replace(again, start_sure=Certainty.AMENDED)) if again is not None else shorter
