"""The pieces of a batch: the spread where they were marked one by one, and what the lost ones cost."""

from collections import defaultdict
from dataclasses import dataclass
from statistics import median

from shopclock.shop.figures.batch_figures import passed_pieces
from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Piece, Step, Tally
from shopclock.shop.values.kinds import MarkedBy, Outcome, WorkKind
from shopclock.shop.work.piece_progress import order_of


@dataclass(frozen=True, slots=True)
class Spread:
    """The run minutes of the pieces that were marked one by one at a stage: mark and minutes, by mark."""

    stage_id: int
    minutes: tuple[tuple[str, float], ...]

    @property
    def middle_min(self) -> float:
        """The median of the pieces' minutes."""
        return median(each for _, each in self.minutes)

    @property
    def shortest(self) -> tuple[str, float]:
        """The piece that took least, the first by mark, and its minutes."""
        return min(self.minutes, key=lambda row: row[1])

    @property
    def longest(self) -> tuple[str, float]:
        """The piece that took most, the first by mark, and its minutes."""
        return max(self.minutes, key=lambda row: row[1])


@dataclass(frozen=True, slots=True)
class Loss:
    """A piece that did not finish: how, at which step, why, and all the labour that went into it."""

    piece: Piece
    outcome: Outcome
    step: Step | None
    reason: str
    us: int


def spreads(floor: ShopFloor, batch_id: int, now_us: int) -> tuple[Spread, ...]:
    """Return the spread at each stage worked one by one, by route, where two pieces or more were marked."""
    rows = piece_labour(floor, batch_id, now_us)
    passed = passed_pieces(floor, batch_id, rows)
    marked = _marked(floor, batch_id)
    run: dict[tuple[int, int], int] = defaultdict(int)
    for row in rows:
        if row.work is WorkKind.RUN:
            run[row.stage_id, row.piece_id] += row.us
    found = []
    for stage, pieces in marked.items():
        own = [p for p in floor.pieces(batch_id) if p.id in pieces & passed.get(stage, set())]
        if len(own) > 1:
            found.append(Spread(stage, tuple((p.mark, run[stage, p.id] / 60e6) for p in own)))
    return tuple(found)


def _marked(floor: ShopFloor, batch_id: int) -> dict[int, set[int]]:
    """Return the pieces marked done one by one at every step of a stage."""
    done = {(t.step_id, t.piece_id) for t in floor.of_batch(Tally, batch_id) if t.how is MarkedBy.DONE}
    every = {piece.id for piece in floor.pieces(batch_id)}
    found: dict[int, set[int]] = {}
    for step in order_of(floor, batch_id).timed:
        here = {piece for piece in every if step.one_by_one and (step.id, piece) in done}
        found[step.stage_id] = found.get(step.stage_id, every) & here
    return found


def losses(floor: ShopFloor, batch_id: int, now_us: int) -> tuple[Loss, ...]:
    """Return the pieces that did not finish, by mark."""
    got: dict[int, int] = defaultdict(int)
    for row in piece_labour(floor, batch_id, now_us):
        got[row.piece_id] += row.us
    return tuple(
        Loss(piece, piece.outcome, _lost_at(floor, piece), piece.reason, got[piece.id])
        for piece in floor.pieces(batch_id)
        if piece.outcome is not None and not piece.outcome.finished
    )


def _lost_at(floor: ShopFloor, piece: Piece) -> Step | None:
    return floor.find(Step, piece.lost_step_id) if piece.lost_step_id is not None else None


def right_first_time(floor: ShopFloor, batch_id: int, now_us: int) -> int:
    """Count the pieces that finished as they should, never worked anew."""
    reworked = {row.piece_id for row in piece_labour(floor, batch_id, now_us) if row.work is WorkKind.REWORK}
    return sum(piece.outcome is Outcome.FINISHED and piece.id not in reworked for piece in floor.pieces(batch_id))
