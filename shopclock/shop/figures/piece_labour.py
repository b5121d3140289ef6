"""Labour of each piece of a batch: its shares with everything that figures sort them by."""

from typing import NamedTuple

from shopclock.shop.figures.derive import chain_of, derive
from shopclock.shop.state.shop_floor import Memo, ShopFloor
from shopclock.shop.values.entities import Interval
from shopclock.shop.values.kinds import Certainty, WorkKind, worse


class PieceLabour(NamedTuple):
    """One piece's part of one interval, in microseconds of labour."""

    piece_id: int
    step_id: int
    stage_id: int
    method_id: int | None
    work: WorkKind
    cause_step_id: int | None
    us: int
    start_us: int
    end_us: int
    estimated: bool
    hands_shared: bool
    maker_id: int


def piece_labour(floor: ShopFloor, batch_id: int, now_us: int) -> tuple[PieceLabour, ...]:
    """Return all shares of a batch; what runs counts until now."""
    ended = floor.memo(_ENDED)
    if batch_id not in ended:
        ended[batch_id] = _ended(floor, batch_id)
    return ended[batch_id] + _so_far(floor, batch_id, now_us)


_ENDED: Memo[int, tuple[PieceLabour, ...]] = Memo()


def _ended(floor: ShopFloor, batch_id: int) -> tuple[PieceLabour, ...]:
    return tuple(
        row
        for interval in floor.of_batch(Interval, batch_id)
        if interval.end_us is not None
        for row in _rows(floor, interval, floor.shares.get(interval.id, ()), interval.end_us)
    )


def _so_far(floor: ShopFloor, batch_id: int, now_us: int) -> tuple[PieceLabour, ...]:
    running = [i for i in floor.running.values() if i.batch_id == batch_id]
    shares = derive(floor, [i.id for i in running], now_us).shares
    return tuple(row for i in running for row in _rows(floor, i, shares.get(i.id, ()), now_us))


def _rows(floor: ShopFloor, interval: Interval, shares: tuple[tuple[int, int], ...], end_us: int) -> list[PieceLabour]:
    chain = chain_of(floor, interval.id) if interval.together else ()
    done = {tally.piece_id for of in chain for tally in floor.hands.done_in(of)}
    estimated = worse(interval.start_sure, interval.end_sure) is Certainty.ESTIMATED
    return [
        PieceLabour(
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
            interval.maker_id,
        )
        for piece, us in shares
        if interval.step_id is not None
    ]
