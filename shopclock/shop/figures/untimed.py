"""Steps that pieces are through without any minutes: not timed, or skipped? Asked once a batch, and what answers it.

Until that is answered the batch says "at least". What was closed under version 1 of the record is asked about too, and
stays as it is until it is answered.
"""

from collections.abc import Collection
from dataclasses import dataclass, replace

from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import RULES, Batch, Interval, Step, Tally
from shopclock.shop.values.kinds import Kind, MarkedBy, StepState
from shopclock.shop.work.piece_progress import order_of

ANSWERS = {StepState.NOT_TIMED: MarkedBy.BEFORE, StepState.SKIPPED: MarkedBy.SKIPPED}
"""What a step becomes that no piece has minutes at, and a piece's mark where others have."""
Place = tuple[int, int]
"""A step and a piece, by number."""


@dataclass(frozen=True, slots=True)
class Untimed:
    """Step by hand, or stayed by, and the pieces that are through it without any minutes there."""

    step: Step
    pieces: tuple[int, ...]


def untimed(floor: ShopFloor, batch_id: int, now_us: int, *, closing: bool = False) -> tuple[Untimed, ...]:
    """Return what a batch has to be asked about, by route: for its finished pieces; when `closing` for living ones too.

    A piece that did not finish is not asked about, nor one that joined later for what was done before it did: it has
    neither minutes nor a mark at a step or before it, where others have minutes.
    """
    order, worked = order_of(floor, batch_id), _worked(floor, batch_id, now_us)
    marked = {(t.step_id, t.piece_id): t.how for t in floor.of_batch(Tally, batch_id)}
    pieces, found = _finished(floor, batch_id, living=closing), []
    for step in order.timed:
        if not step.kind.attended:
            continue
        before, others = {step.id, *order.earlier[step.id]}, any((step.id, p) in worked for p in pieces)
        lacking = tuple(
            p
            for p in pieces
            if (step.id, p) not in worked
            and marked.get((step.id, p)) not in ANSWERS.values()
            and (not others or any((s, p) in worked or (s, p) in marked for s in before))
        )
        if lacking:
            found.append(Untimed(step, lacking))
    return tuple(found)


def _finished(floor: ShopFloor, batch_id: int, *, living: bool) -> tuple[int, ...]:
    """Return the pieces that finished, with those that may yet if they count as well."""
    return tuple(p.id for p in floor.pieces(batch_id) if (living if p.outcome is None else p.outcome.finished))


def _worked(floor: ShopFloor, batch_id: int, now_us: int) -> set[Place]:
    """Return the steps and pieces with minutes, or timed without any: done one by one, stayed by beside other work."""
    found = {(row.step_id, row.piece_id) for row in piece_labour(floor, batch_id, now_us) if row.us}
    found.update((t.step_id, t.piece_id) for t in floor.of_batch(Tally, batch_id) if t.how is MarkedBy.DONE)
    for interval in floor.of_batch(Interval, batch_id):
        if interval.kind is Kind.WATCH and interval.step_id is not None and interval.end_us != interval.start_us:
            found.update((interval.step_id, piece) for piece in interval.pieces)
    return found


def at_least(floor: ShopFloor, batch_id: int, now_us: int) -> bool:
    """Tell whether a batch's sums are the least that it took: something was not timed, or nobody has said so yet."""
    if any(step.state is StepState.NOT_TIMED for step in floor.steps(batch_id)):
        return True
    staying = _finished(floor, batch_id, living=True)
    if any(t.how is MarkedBy.BEFORE and t.piece_id in staying for t in floor.of_batch(Tally, batch_id)):
        return True
    return floor.get(Batch, batch_id).rules >= RULES and bool(untimed(floor, batch_id, now_us))


def older(floor: ShopFloor) -> tuple[Batch, ...]:
    """Return the closed batches that nobody was asked about when they were closed, oldest first."""
    found = (batch for batch in floor.all(Batch) if batch.closed_us is not None and batch.rules < RULES)
    return tuple(sorted(found, key=lambda batch: (batch.closed_us or 0, batch.id)))


def say(tx: Transaction, batch: Batch, state: StepState) -> Batch:
    """Say of all steps without minutes in a batch that they were not timed, or skipped."""
    finished = _finished(tx.floor, batch.id, living=False)
    for found in untimed(tx.floor, batch.id, tx.now_us):
        if set(found.pieces) == set(finished) and not _has_work(tx.floor, found.step):
            tx.change(replace(tx.current(found.step), state=state))
        else:
            _mark(tx, found.step, found.pieces, ANSWERS[state])
    return tx.change(replace(tx.current(batch), rules=RULES))


def _has_work(floor: ShopFloor, step: Step) -> bool:
    return any(i.step_id == step.id for i in floor.of_batch(Interval, step.batch_id))


def _mark(tx: Transaction, step: Step, pieces: Collection[int], how: MarkedBy) -> None:
    marks = {tally.piece_id: tally for tally in tx.floor.tallies_of(step)}
    for piece in pieces:
        if piece in marks:
            tx.change(replace(marks[piece], how=how))
        else:
            tx.add(Tally(step_id=step.id, piece_id=piece, at_us=tx.now_us, how=how))
