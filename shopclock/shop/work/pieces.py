"""Pieces put in or out, set aside, done again, lost, cut down, added."""

from collections.abc import Collection
from dataclasses import replace

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Batch, Interval, Leaving, Piece, Step
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Outcome, WorkKind
from shopclock.shop.values.marks import marks
from shopclock.shop.work.acts import put_in
from shopclock.shop.work.begin import by_mark, let_go, split, warn_waiting
from shopclock.shop.work.finish import marked_at
from shopclock.shop.work.loads import fits, load_for
from shopclock.shop.work.piece_progress import order_of, through


def cover(tx: Transaction, interval: Interval, pieces: Collection[int]) -> Interval:
    """Let a running interval go on with exactly these pieces; the last can't be taken out.

    Into a tool come as many as there is room for; a warning says who waits.
    """
    if not pieces:
        raise Refusal("One piece has to stay in hand. Nothing was changed.")
    asked = by_mark(tx.floor, pieces)
    wanted = _with_room(tx, interval, asked)
    if len(wanted) < len(asked) and wanted in ((), interval.pieces):
        raise Refusal(f"{tx.warnings[-1]} Nothing was changed.")
    if wanted == interval.pieces:
        return interval
    for piece in wanted:
        if tx.floor.get(Piece, piece).set_aside:
            tx.change(replace(tx.floor.get(Piece, piece), set_aside=False))
    new = [p for p in wanted if p not in interval.pieces]
    step = tx.floor.find(Step, interval.step_id or 0)
    let_go(tx, new, step)
    load_id = interval.load_id
    if new and load_id is not None and step is not None:
        load_id = load_for(tx, step, new, load_id)
    return split(tx, replace(tx.current(interval), pieces=wanted, load_id=load_id))


def _with_room(tx: Transaction, interval: Interval, wanted: Collection[int]) -> tuple[int, ...]:
    """Return those of the pieces wanted in hand that there is room for; those in hand stay."""
    if interval.load_id is None or interval.step_id is None:
        return tuple(wanted)
    step, new = tx.floor.get(Step, interval.step_id), [p for p in wanted if p not in interval.pieces]
    going = fits(tx.floor, step, new)
    warn_waiting(tx, step, [piece for piece in new if piece not in going])
    return tuple(piece for piece in wanted if piece in going or piece in interval.pieces)


def set_aside(tx: Transaction, piece: Piece) -> Piece:
    """Put a living piece aside: work goes on without it until it is put in again."""
    _with_its_stretch(tx, piece)
    let_go(tx, (piece.id,))
    return tx.change(replace(tx.current(piece), set_aside=True))


def _with_its_stretch(tx: Transaction, piece: Piece) -> None:
    """Keep that a piece leaves what is worked one by one, and takes the stretch along as if it were done.

    One that is through there was not under the hands; during set-up none is.
    """
    for interval in tx.floor.running.values():
        step = tx.floor.find(Step, interval.step_id)
        if step is None or piece.id not in interval.pieces or not interval.kind.attended or not step.one_by_one:
            continue
        if interval.work is not WorkKind.SETUP and piece.id not in marked_at(tx.floor, interval, step):
            left = Leaving(piece_id=piece.id, step_id=step.id, interval_id=interval.id, at_us=tx.now_us, in_hand=True)
            tx.add(left)


def not_in_hand(tx: Transaction, leaving: Leaving) -> Leaving:
    """Say that a piece that left was not the one under the hands: the stretch goes on without it."""
    return tx.change(replace(tx.current(leaving), in_hand=False))


def take_up(tx: Transaction, piece: Piece) -> Piece:
    """Bring a piece back that was set aside."""
    return tx.change(replace(tx.current(piece), set_aside=False))


def make_second(tx: Transaction, piece: Piece) -> Piece:
    """Note that a piece will be a second at best; it goes on."""
    return tx.change(replace(tx.current(piece), second=True))


def set_number(tx: Transaction, piece: Piece, number: str) -> Piece:
    """Give a piece its number, or take it away with ""; refused when another piece at hand has it."""
    wanted = number.strip()
    other = next((p for p in tx.floor.all(Piece) if wanted and p.number == wanted and p.id != piece.id), None)
    if other is not None:
        whose = tx.floor.get(Batch, other.batch_id).name
        raise Refusal(f"{other.mark} of {whose} has the number {wanted}. Nothing was changed.")
    return tx.change(replace(tx.current(piece), number=wanted))


def end_piece(tx: Transaction, piece: Piece, outcome: Outcome, step: Step | None = None, reason: str = "") -> Piece:
    """Give a piece its outcome; whatever runs goes on without it."""
    if not piece.living:
        raise Refusal(f"{piece.mark} has ended already. Nothing was changed.")
    if outcome in (Outcome.SCRAPPED, Outcome.CUT_DOWN):
        _with_its_stretch(tx, piece)
    let_go(tx, (piece.id,))
    return tx.change(
        replace(
            tx.current(piece),
            outcome=outcome,
            lost_step_id=step.id if step is not None else None,
            reason=reason,
            set_aside=False,
            ended_us=tx.now_us,
        )
    )


def lose(tx: Transaction, piece: Piece, step: Step | None, reason: str) -> Piece:
    """Scrap a piece, with the step where it happened and why."""
    return end_piece(tx, piece, Outcome.SCRAPPED, step, reason)


def cut_down(tx: Transaction, piece: Piece, into: Batch, step: Step | None = None) -> Piece:
    """End a piece that goes on as a new one of another batch, linked, without its minutes."""
    end_piece(tx, piece, Outcome.CUT_DOWN, step)
    return add_piece(tx, into, from_piece_id=piece.id)


def add_piece(tx: Transaction, batch: Batch, from_piece_id: int | None = None) -> Piece:
    """Add a blank to an open batch, with the next mark that was never given in it."""
    return add_pieces(tx, batch, 1, from_piece_id)[0]


def add_pieces(tx: Transaction, batch: Batch, n: int, from_piece_id: int | None = None) -> tuple[Piece, ...]:
    """Add blanks to a batch, marked on from those it has."""
    given = tx.floor.pieces(batch.id)
    position = max((piece.position for piece in given), default=-1) + 1
    return tuple(
        tx.add(Piece(batch_id=batch.id, position=position + i, mark=mark, from_piece_id=from_piece_id))
        for i, mark in enumerate(marks(n, skip=position))
    )


def rework(tx: Transaction, piece: Piece, step: Step, cause: Step | None = None) -> Interval:
    """Do a step again with one piece; the minutes are rework, put down to the causing step where it is known."""
    if piece.set_aside:
        tx.change(replace(tx.current(piece), set_aside=False))
    return put_in(tx, step, (piece.id,), work=WorkKind.REWORK, cause_step_id=cause.id if cause is not None else None)


def possible_causes(floor: ShopFloor, batch_id: int, piece: Piece) -> tuple[Step, ...]:
    """Return the steps that may have made a piece wrong: worked or through, the newest first."""
    reached = through(floor, batch_id)
    worked = {i.step_id for i in floor.of_batch(Interval, batch_id) if piece.id in i.pieces}
    steps = order_of(floor, batch_id).timed
    found = [s for s in steps if piece.id in reached[s.id] or s.id in worked]
    return tuple(reversed(found))
