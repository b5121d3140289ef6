"""Rows for trends of the whole piece: what the finished pieces of a batch took, all stages together."""

from collections.abc import Sequence

from shopclock.shop.floor import Floor
from shopclock.shop.kinds import StepState, Work
from shopclock.shop.spent import Spent, spent
from shopclock.shop.stage_rows import WHOLE, StageRow, middle, stage_rows
from shopclock.shop.values import Batch


def rows_of_batch(floor: Floor, batch_id: int, now_us: int) -> tuple[StageRow, ...]:
    """Work out all rows of a batch: its stages, and the whole of it."""
    whole = whole_row(floor, batch_id, now_us)
    return (*stage_rows(floor, batch_id, now_us), *([whole] if whole is not None else []))


def whole_row(floor: Floor, batch_id: int, now_us: int) -> StageRow | None:
    """Return what the finished pieces (seconds too) of a batch took, or nothing where there is nothing to say yet.

    Run, set-up and rework of the finished pieces alone: minutes of early stages over seven pieces and of late ones
    over six would add up to no piece that there is. It is `complete` when no piece is still in work, `untimed` when a
    step was done before timing began. Methods differ from stage to stage, so it has none.
    """
    pieces = floor.pieces(batch_id)
    finished = {p.id for p in pieces if p.outcome is not None and p.outcome.finished}
    complete = all(p.outcome is not None for p in pieces)
    rows = [row for row in spent(floor, batch_id, now_us) if row.us]
    own = [row for row in rows if row.piece_id in finished]
    if not rows or not (own or complete):
        return None
    return _row(floor, batch_id, own or rows, len(finished) if own else 0, complete=complete)


def _row(floor: Floor, batch_id: int, rows: Sequence[Spent], pieces: int, *, complete: bool) -> StageRow:
    run = [row for row in rows if row.work is Work.RUN]
    sums = {work: sum(row.us for row in rows if row.work is work) for work in Work}
    return StageRow(
        batch_id=batch_id,
        pattern_id=floor.get(Batch, batch_id).pattern_id,
        stage_id=WHOLE,
        method_id=None,
        mixed=False,
        complete=complete,
        pieces=pieces,
        run_us=sums[Work.RUN],
        setup_us=sums[Work.SETUP],
        rework_us=sums[Work.REWORK],
        estimated_us=sum(row.us for row in run if row.estimated),
        shared_us=sum(row.us for row in run if row.hands_shared),
        first_us=min(row.start_us for row in rows),
        middle_us=middle(run or rows),
        untimed=any(step.state is StepState.NOT_TIMED for step in floor.steps(batch_id)),
    )
