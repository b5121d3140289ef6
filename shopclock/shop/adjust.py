"""Putting a running interval right: method, set-up, its start, an interruption."""

from shopclock.shop.errors import Refusal
from shopclock.shop.floor import Floor
from shopclock.shop.kinds import Certainty, Kind, Work
from shopclock.shop.stretch import attended, split
from shopclock.shop.turn import Turn
from shopclock.shop.values import Interval, Method, Tally

MINUTE_US = 60_000_000
DAY_US = 24 * 60 * MINUTE_US


def use_method(turn: Turn, interval: Interval, method: Method) -> Interval:
    """Go on by another method."""
    if interval.method_id == method.id:
        return interval
    return split(turn, interval, method_id=method.id)


def set_up(turn: Turn, interval: Interval) -> Interval:
    """From now on it is set-up."""
    return split(turn, interval, work=Work.SETUP)


def now_running(turn: Turn, interval: Interval) -> Interval:
    """Set-up is over; from now on it is the work itself."""
    return split(turn, interval, work=Work.RUN)


def earliest_start(floor: Floor, interval: Interval) -> int:
    """Return how far the start of a running interval can be moved back.

    Not past the start of other work of the same hands or with the same pieces, nor past the last
    piece done there: of these nothing may be left with a negative length. Nor past what is on the
    floor: what ended before that is on the disk alone.
    """
    limits = [max(interval.start_us - DAY_US, min(floor.horizon_us, interval.start_us))]
    for other in _rivals(floor, interval, interval.start_us - DAY_US):
        limits.append(other.start_us)
        limits.extend(tally.at_us for tally in floor.hands.done_in(other))
    return max(limits)


def start_since(turn: Turn, interval: Interval, start_us: int) -> Interval:
    """Move the start of a running interval back; the end of what ran before moves with it."""
    if not earliest_start(turn.floor, interval) <= start_us < interval.start_us:
        raise Refusal("That time lies before other work began. Nothing was changed.")
    for other in _rivals(turn.floor, interval, start_us):
        _end_earlier(turn, other, start_us)
    return turn.edit(interval, start_us=start_us, start_sure=Certainty.AMENDED)


def _rivals(floor: Floor, interval: Interval, after_us: int) -> list[Interval]:
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


def _end_earlier(turn: Turn, other: Interval, end_us: int) -> None:
    """Move an end back, and with it the marks that were made by the press that ended it."""
    for tally in turn.floor.of_batch(Tally, other.batch_id) if other.batch_id else ():
        if tally.step_id == other.step_id and tally.at_us == other.end_us:
            turn.edit(tally, at_us=end_us)
    turn.edit(other, end_us=end_us, end_sure=Certainty.AMENDED)


def take_off(turn: Turn, minutes: int) -> list[Interval]:
    """Take the last minutes off: an interruption that just ended, or a stop pressed too late.

    What runs stops before them and goes on now, as the same stretch; where nothing runs, what
    was stopped last ends earlier.
    """
    gap = minutes * MINUTE_US
    running = [i for i in attended(turn) if i.kind is Kind.HANDS_ON] or attended(turn)
    if running:
        return [_interrupt(turn, interval, gap) for interval in running]
    numbers = turn.floor.hands.last_ended(turn.maker_id)
    ended = [turn.floor.get(Interval, number) for number in numbers]
    if not ended:
        raise Refusal("There is nothing to take time off. Nothing was changed.")
    return [_shorten(turn, interval, gap) for interval in ended]


def most_to_take_off(floor: Floor, interval: Interval, now_us: int) -> int:
    """Return how many microseconds can be taken off the end of an interval."""
    end = interval.end_us if interval.end_us is not None else now_us
    done = [tally.at_us for tally in floor.hands.done_in(interval)]
    return end - max([interval.start_us, *done])


def _interrupt(turn: Turn, interval: Interval, gap: int) -> Interval:
    _check_gap(turn, interval, gap)
    again = split(turn, interval)
    ended = turn.floor.get(Interval, interval.id)
    turn.edit(ended, end_us=turn.now_us - gap, end_sure=Certainty.AMENDED)
    return turn.edit(again, start_sure=Certainty.AMENDED)


def _shorten(turn: Turn, interval: Interval, gap: int) -> Interval:
    _check_gap(turn, interval, gap)
    end = interval.end_us if interval.end_us is not None else turn.now_us
    return turn.edit(interval, end_us=end - gap, end_sure=Certainty.AMENDED)


def _check_gap(turn: Turn, interval: Interval, gap: int) -> None:
    if gap >= most_to_take_off(turn.floor, interval, turn.now_us):
        raise Refusal("It has not run that long. Nothing was changed.")
