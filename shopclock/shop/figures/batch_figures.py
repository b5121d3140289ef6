"""The figures of a stage in a batch, and of the batch: whole microseconds that add up.

    F × minutes per finished piece = run + set-up + rework of the finished pieces + carried

Figures hold sums; a quotient is only made where there is something to divide by.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shopclock.shop.figures.piece_labour import PieceLabour, piece_labour
from shopclock.shop.figures.untimed import at_least
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Batch, Piece, Step
from shopclock.shop.values.kinds import Outcome, WorkKind
from shopclock.shop.work.piece_progress import order_of, through

LOST, KEPT, CUT_DOWN = Outcome.SCRAPPED, Outcome.KEPT, Outcome.CUT_DOWN


@dataclass(frozen=True, slots=True)
class Minutes:
    """Sums of labour by what it was for, in microseconds."""

    run_us: int
    setup_us: int
    rework_us: int

    @property
    def all_us(self) -> int:
        """Run, set-up and rework together."""
        return self.run_us + self.setup_us + self.rework_us


@dataclass(frozen=True, slots=True)
class StageFigures:
    """Figures of a stage in a batch (`stage_id` 0: the whole batch), labour in microseconds.

    `of_passed` are the minutes of the pieces that passed, `of_finished` of those that finished;
    `carried` what went into the others, by how they ended. `through`: of the finished so many passed.
    """

    stage_id: int
    passed: int
    finished: int
    of_passed: Minutes
    of_finished: Minutes
    carried: dict[Outcome, int]
    through: int = 0

    @property
    def half_done(self) -> bool:
        """True if some of the finished pieces, or those that may yet, have not passed."""
        return self.through < self.finished

    @property
    def all_us(self) -> int:
        """Everything spent on all pieces, in microseconds."""
        return self.of_finished.all_us + sum(self.carried.values())

    @property
    def per_piece_min(self) -> float | None:
        """Minutes per piece: run minutes of the passed pieces, each."""
        return _each_min(self.of_passed.run_us, self.passed)

    @property
    def setup_per_piece_min(self) -> float | None:
        """Set-up minutes of the passed pieces, each."""
        return _each_min(self.of_passed.setup_us, self.passed)

    @property
    def rework_per_piece_min(self) -> float | None:
        """Rework minutes of the passed pieces, each."""
        return _each_min(self.of_passed.rework_us, self.passed)

    @property
    def per_finished_min(self) -> float | None:
        """Minutes per finished piece: everything spent over the finished; nothing when none is."""
        return _each_min(self.all_us, self.finished)


def _each_min(us: int, pieces: int) -> float | None:
    """Minutes for each of so many pieces; nothing where there are none."""
    return us / pieces / 60e6 if pieces else None


@dataclass(frozen=True, slots=True)
class BatchFigures:
    """A batch's figures. `so_far`: it is open, living pieces (`in_work`) count as finished.

    `all_through`: each of them is through all steps, so that all their minutes are there.
    """

    batch: Batch
    started: int
    finished: int
    in_work: int
    seconds: int
    so_far: bool
    at_least: bool
    whole: StageFigures
    stages: tuple[StageFigures, ...]
    all_through: bool = False

    @property
    def worked_out(self) -> bool:
        """Tell whether all minutes of its pieces are there: it is closed, or none of them has a step to go."""
        return self.all_through or not self.so_far


def figures(floor: ShopFloor, batch_id: int, now_us: int) -> BatchFigures:
    """Return the figures of a batch, its stages in the order of the route."""
    batch = floor.get(Batch, batch_id)
    pieces = floor.pieces(batch_id)
    order = order_of(floor, batch_id)
    rows = piece_labour(floor, batch_id, now_us)
    ends = {piece.id: _end(piece) for piece in pieces}
    by_stage = rows_by_stage(rows)
    passed = passed_pieces(floor, batch_id, rows)
    reached, living = through(floor, batch_id), {piece.id for piece in pieces if piece.living}
    listed = dict.fromkeys([*(s.stage_id for s in order.timed), *by_stage])
    stages = tuple(_stage(stage, by_stage.get(stage, []), passed.get(stage, set()), ends) for stage in listed)
    return BatchFigures(
        batch=batch,
        started=len(pieces),
        finished=sum(end is None for end in ends.values()),
        in_work=sum(piece.living for piece in pieces),
        seconds=sum(p.outcome is Outcome.SECOND or (p.living and p.second) for p in pieces),
        so_far=batch.closed_us is None,
        at_least=at_least(floor, batch_id, now_us),
        whole=_stage(0, rows, {p for p, end in ends.items() if end is None}, ends),
        stages=stages,
        all_through=all(living <= reached[step.id] for step in order.timed),
    )


def _end(piece: Piece) -> Outcome | None:
    """Return how a piece left the finished ones; nothing for those that finished or may yet."""
    return None if piece.outcome is None or piece.outcome.finished else piece.outcome


def rows_by_stage(rows: Iterable[PieceLabour]) -> dict[int, list[PieceLabour]]:
    """Sort labour by the stage that it was done at."""
    sorted_out: dict[int, list[PieceLabour]] = defaultdict(list)
    for row in rows:
        sorted_out[row.stage_id].append(row)
    return sorted_out


def passed_pieces(floor: ShopFloor, batch_id: int, rows: Iterable[PieceLabour]) -> dict[int, set[int]]:
    """Return the pieces that passed each stage: through all its steps, with run labour there.

    A piece scrapped at a step has not passed it.
    """
    reached, steps = through(floor, batch_id), order_of(floor, batch_id).timed
    lost = {(p.lost_step_id, p.id) for p in floor.pieces(batch_id)}
    by_stage: dict[int, list[Step]] = defaultdict(list)
    for step in steps:
        by_stage[step.stage_id].append(step)
    worked: dict[int, set[int]] = defaultdict(set)
    for row in rows:
        if row.work is WorkKind.RUN and row.us > 0:
            worked[row.stage_id].add(row.piece_id)
    return {
        stage: {p for p in worked[stage] if all(p in reached[s.id] and (s.id, p) not in lost for s in own)}
        for stage, own in by_stage.items()
    }


def _stage(
    stage_id: int, rows: Sequence[PieceLabour], passed: set[int], ends: dict[int, Outcome | None]
) -> StageFigures:
    carried = dict.fromkeys((LOST, KEPT, CUT_DOWN), 0)
    for row in rows:
        end = ends[row.piece_id]
        if end is not None:
            carried[end] += row.us
    return StageFigures(
        stage_id=stage_id,
        passed=len(passed),
        finished=sum(end is None for end in ends.values()),
        of_passed=minutes_of(row for row in rows if row.piece_id in passed),
        of_finished=minutes_of(row for row in rows if ends[row.piece_id] is None),
        carried=carried,
        through=sum(ends[piece] is None for piece in passed),
    )


def minutes_of(rows: Iterable[PieceLabour]) -> Minutes:
    """Add up labour by what it was for."""
    sums = dict.fromkeys(WorkKind, 0)
    for row in rows:
        sums[row.work] += row.us
    return Minutes(sums[WorkKind.RUN], sums[WorkKind.SETUP], sums[WorkKind.REWORK])
