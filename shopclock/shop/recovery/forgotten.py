"""Forgotten stops: when one counts as forgotten. Waits never are: nobody stands by them."""

from collections.abc import Callable, Iterable
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.figures.trend_rows import Usual
from shopclock.shop.recovery.questions import heard_us, open_about
from shopclock.shop.state import settings
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import instant_of, shop_time, zone_of
from shopclock.shop.values.entities import Interval, Step
from shopclock.shop.values.kinds import Kind, StepState, WorkKind

MINUTE_US = 60_000_000
LEAST_US = 5 * MINUTE_US
"""Nobody is asked sooner than this, however quick a piece usually is."""

UsualOf = Callable[[Interval], Usual | None]
"""Returns what is usual at the stage and by the method of an interval."""


def due(floor: ShopFloor, now_us: int, usual_of: UsualOf) -> tuple[Interval, ...]:
    """Return what runs with a person and has to be asked about now, oldest first. Each bench asks about its own."""
    own = (i for i in floor.running.values() if i.kind.attended and floor.made_here(i))
    running = (i for i in own if not open_about(floor, i))
    late = (i for i in running if now_us >= forgotten_at(floor, i, usual_of(i)))
    return tuple(sorted(late, key=lambda i: (i.start_us, i.id)))


def forgotten_at(floor: ShopFloor, interval: Interval, usually: Usual | None) -> int:
    """Return the instant from which a running interval is asked about.

    That is three times what is usual after it was last heard of, or the end of the shop's day.
    """
    heard = heard_us(floor, interval)
    return min(heard + span_us(floor, interval, usually), day_end(heard, floor))


def span_us(floor: ShopFloor, interval: Interval, usually: Usual | None) -> int:
    """Return how long nothing has to be heard of it: so many times its pieces, one by one of one piece."""
    whole = gap_us(floor, interval, usually) or whole_us(floor, interval, usually)
    if not whole:
        return settings.value(floor, settings.UNKNOWN_H) * 60 * MINUTE_US
    return max(LEAST_US, settings.value(floor, settings.TIMES_USUAL) * whole)


def whole_us(floor: ShopFloor, interval: Interval, usually: Usual | None) -> int | None:
    """Return what an interval's pieces usually take at its step, or nothing where nobody knows."""
    step = floor.find(Step, interval.step_id) if interval.step_id is not None else None
    if step is None:
        return None
    if interval.work is WorkKind.SETUP:
        return step.setup_us
    if interval.kind is Kind.WATCH and step.wait_us:
        return step.wait_us
    each = piece_us(floor, step, usually)
    return each * len(interval.pieces) if each is not None else None


def piece_us(floor: ShopFloor, step: Step, usually: Usual | None) -> int | None:
    """Return what a piece usually takes at a step: its part of the stage's usual, else the route's minutes."""
    if usually is None:
        return step.minutes_us
    minutes = usually.median_min if usually.median_min is not None else usually.last_min
    same = [s for s in floor.steps(step.batch_id) if s.stage_id == step.stage_id and s.state is StepState.TIMED]
    known = [s.minutes_us for s in same if s.minutes_us]
    share = (step.minutes_us or 0) / sum(known) if len(known) == len(same) > 1 else 1 / max(1, len(same))
    return round(minutes * MINUTE_US * share) or None


def gap_us(floor: ShopFloor, interval: Interval, usually: Usual | None) -> int | None:
    """Return what one piece usually takes where the stage is worked one by one; nothing elsewhere.

    Where no piece of the last batches was marked done here, nobody can tell one from the next: as in rounds.
    """
    step = floor.find(Step, interval.step_id) if interval.step_id is not None else None
    if step is None or not step.one_by_one or interval.work is WorkKind.SETUP:
        return None
    if usually is not None and not usually.marked and not floor.hands.done_in(interval):
        return None
    return piece_us(floor, step, usually)


def usual_end(floor: ShopFloor, interval: Interval, usually: Usual | None) -> int | None:
    """Return when a running interval usually would have ended: what is left of its pieces, from where it is sure."""
    one, whole = gap_us(floor, interval, usually), whole_us(floor, interval, usually)
    done = floor.hands.done_in(interval)
    if one is not None and done:
        left = len(set(interval.pieces) - {tally.piece_id for tally in done})
        return done[-1].at_us + one * left
    if not whole:
        return None
    return interval.start_us + max(0, whole - _before_us(floor, interval))


def _before_us(floor: ShopFloor, interval: Interval) -> int:
    """Return what these pieces got at this step before, in the same work."""
    if interval.batch_id is None:
        return 0
    rows = piece_labour(floor, interval.batch_id, interval.start_us)
    return sum(
        row.us
        for row in rows
        if (row.step_id, row.work) == (interval.step_id, interval.work)
        and row.piece_id in interval.pieces
        and row.end_us <= interval.start_us
    )


def day_end(after_us: int, floor: ShopFloor) -> int:
    """Return the first end of the shop's day after an instant."""
    hour, minute = settings.value(floor, settings.DAY_ENDS).split(":")
    return _next(time(int(hour), int(minute)), after_us, zone_of(floor))


def _next(clock: time, after_us: int, zone: ZoneInfo) -> int:
    day = shop_time(after_us, zone).date()
    ends = (instant_of(datetime.combine(day + timedelta(days=n), clock, zone)) for n in range(3))
    return next(end for end in ends if end > after_us)


def likely_times(points: Iterable[int], low_us: int, high_us: int) -> tuple[int, ...]:
    """Return the times to choose from, the likeliest first: every five minutes around likely points.

    Only those between two instants, which are left out themselves.
    """
    five, ranked = 5 * MINUTE_US, dict[int, int]()
    for point in points:
        near = round(point / five) * five
        for far in AROUND:
            at = near + far * five
            if low_us < at < high_us:
                ranked[at] = min(abs(far), ranked.get(at, len(AROUND)))
    return tuple(sorted(ranked, key=lambda at: (ranked[at], at)))


AROUND = (0, 1, -1, 2, -2, 3, -3)
