"""What each piece of a batch got: its shares with everything that figures sort them by."""

from typing import NamedTuple

from shopclock.shop.derive import derive
from shopclock.shop.floor import Floor
from shopclock.shop.kinds import Certainty, Work, worse
from shopclock.shop.values import Interval


class Spent(NamedTuple):
    """One piece's part of one interval, in microseconds of labour."""

    piece_id: int
    step_id: int
    stage_id: int
    method_id: int | None
    work: Work
    cause_step_id: int | None
    us: int
    start_us: int
    end_us: int
    estimated: bool
    hands_shared: bool


def spent(floor: Floor, batch_id: int, now_us: int) -> tuple[Spent, ...]:
    """Return all shares of a batch; what runs counts until now."""
    key = ("spent", batch_id)
    ended = floor.memo.get(key)
    if not isinstance(ended, tuple):
        ended = floor.memo[key] = _ended(floor, batch_id)
    return ended + _so_far(floor, batch_id, now_us)


def _ended(floor: Floor, batch_id: int) -> tuple[Spent, ...]:
    return tuple(
        row
        for interval in floor.of_batch(Interval, batch_id)
        if interval.end_us is not None
        for row in _rows(floor, interval, floor.shares.get(interval.id, ()), interval.end_us)
    )


def _so_far(floor: Floor, batch_id: int, now_us: int) -> tuple[Spent, ...]:
    running = [i for i in floor.running.values() if i.batch_id == batch_id and i.kind.attended]
    if not running:
        return ()
    shares = derive(floor, [i.id for i in running], now_us).shares
    return tuple(row for i in running for row in _rows(floor, i, shares.get(i.id, ()), now_us))


def _rows(floor: Floor, interval: Interval, shares: tuple[tuple[int, int], ...], end_us: int) -> list[Spent]:
    if interval.step_id is None:
        return []
    done = {tally.piece_id for tally in floor.hands.done_in(interval)}
    estimated = worse(interval.start_sure, interval.end_sure) is Certainty.ESTIMATED
    return [
        Spent(
            piece,
            interval.step_id,
            interval.stage_id,
            interval.method_id,
            interval.work,
            interval.cause_step_id,
            us,
            interval.start_us,
            end_us,
            estimated,
            interval.together and piece not in done,
        )
        for piece, us in shares
    ]
