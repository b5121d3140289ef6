"""What can happen to a piece: put in or out, set aside, done again, lost, cut down, added."""

from collections.abc import Collection

from shopclock.shop.begin import warn_waiting
from shopclock.shop.errors import Refusal
from shopclock.shop.finish import put_in
from shopclock.shop.floor import Floor
from shopclock.shop.kinds import Outcome, Work
from shopclock.shop.loads import fits, load_for
from shopclock.shop.marks import marks
from shopclock.shop.order import order_of
from shopclock.shop.standing import through
from shopclock.shop.stretch import let_go, split
from shopclock.shop.turn import Turn
from shopclock.shop.values import Batch, Interval, Piece, Step


def cover(turn: Turn, interval: Interval, pieces: Collection[int]) -> Interval:
    """Let a running interval go on with exactly these pieces; the last can't be taken out.

    Into a tool come as many as there is room for; a warning says who waits.
    """
    if not pieces:
        raise Refusal("One piece has to stay in hand. Nothing was changed.")
    asked = _by_mark(turn.floor, pieces)
    wanted = _with_room(turn, interval, asked)
    if len(wanted) < len(asked) and wanted in ((), interval.pieces):
        raise Refusal(f"{turn.warnings[-1]} Nothing was changed.")
    if wanted == interval.pieces:
        return interval
    for piece in wanted:
        if turn.floor.get(Piece, piece).set_aside:
            turn.edit(turn.floor.get(Piece, piece), set_aside=False)
    new = [p for p in wanted if p not in interval.pieces]
    step = turn.floor.find(Step, interval.step_id or 0)
    let_go(turn, new, step)
    load_id = interval.load_id
    if new and load_id is not None and step is not None:
        load_id = load_for(turn, step, new, load_id)
    return split(turn, turn.floor.get(Interval, interval.id), pieces=wanted, load_id=load_id)


def _with_room(turn: Turn, interval: Interval, wanted: Collection[int]) -> tuple[int, ...]:
    """Return those of the pieces wanted in hand that there is room for; those in hand stay."""
    if interval.load_id is None or interval.step_id is None:
        return tuple(wanted)
    step, new = turn.floor.get(Step, interval.step_id), [p for p in wanted if p not in interval.pieces]
    going = fits(turn.floor, step, new)
    warn_waiting(turn, step, [piece for piece in new if piece not in going])
    return tuple(piece for piece in wanted if piece in going or piece in interval.pieces)


def set_aside(turn: Turn, piece: Piece) -> Piece:
    """Put a living piece aside: work goes on without it until it is put in again."""
    let_go(turn, (piece.id,))
    return turn.edit(piece, set_aside=True)


def take_up(turn: Turn, piece: Piece) -> Piece:
    """Bring a piece back that was set aside."""
    return turn.edit(piece, set_aside=False)


def make_second(turn: Turn, piece: Piece) -> Piece:
    """Note that a piece will be a second at best; it goes on."""
    return turn.edit(piece, second=True)


def set_number(turn: Turn, piece: Piece, number: str) -> Piece:
    """Give a piece its number, or take it away with ""; refused when another piece at hand has it."""
    wanted = number.strip()
    other = next((p for p in turn.floor.all(Piece) if wanted and p.number == wanted and p.id != piece.id), None)
    if other is not None:
        whose = turn.floor.get(Batch, other.batch_id).name
        raise Refusal(f"{other.mark} of {whose} has the number {wanted}. Nothing was changed.")
    return turn.edit(piece, number=wanted)


def end_piece(turn: Turn, piece: Piece, outcome: Outcome, step: Step | None = None, reason: str = "") -> Piece:
    """Give a piece its outcome; whatever runs goes on without it."""
    if not piece.living:
        raise Refusal(f"{piece.mark} has ended already. Nothing was changed.")
    let_go(turn, (piece.id,))
    return turn.edit(
        piece,
        outcome=outcome,
        lost_step_id=step.id if step is not None else None,
        reason=reason,
        set_aside=False,
        ended_us=turn.now_us,
    )


def lose(turn: Turn, piece: Piece, step: Step | None, reason: str) -> Piece:
    """Scrap a piece, with the step where it happened and why."""
    return end_piece(turn, piece, Outcome.SCRAPPED, step, reason)


def cut_down(turn: Turn, piece: Piece, into: Batch, step: Step | None = None) -> Piece:
    """End a piece that goes on as a new one of another batch, linked, without its minutes."""
    end_piece(turn, piece, Outcome.CUT_DOWN, step)
    return add_piece(turn, into, from_piece_id=piece.id)


def add_piece(turn: Turn, batch: Batch, from_piece_id: int | None = None) -> Piece:
    """Add a blank to an open batch, with the next mark that was never given in it."""
    return add_pieces(turn, batch, 1, from_piece_id)[0]


def add_pieces(turn: Turn, batch: Batch, n: int, from_piece_id: int | None = None) -> tuple[Piece, ...]:
    """Add blanks to a batch, marked on from those it has."""
    given = turn.floor.pieces(batch.id)
    position = max((piece.position for piece in given), default=-1) + 1
    return tuple(
        turn.new(
            Piece,
            batch_id=batch.id,
            position=position + i,
            mark=mark,
            number="",
            set_aside=False,
            second=False,
            outcome=None,
            lost_step_id=None,
            reason="",
            ended_us=None,
            from_piece_id=from_piece_id,
        )
        for i, mark in enumerate(marks(n, skip=position))
    )


def rework(turn: Turn, piece: Piece, step: Step, cause: Step) -> Interval:
    """Do a step again with one piece; the minutes are rework, put down to the causing step."""
    if piece.set_aside:
        turn.edit(piece, set_aside=False)
    return put_in(turn, step, (piece.id,), work=Work.REWORK, cause_step_id=cause.id)


def possible_causes(floor: Floor, batch_id: int, piece: Piece) -> tuple[Step, ...]:
    """Return the steps that may have made a piece wrong: worked or through, the newest first."""
    reached = through(floor, batch_id)
    worked = {i.step_id for i in floor.of_batch(Interval, batch_id) if piece.id in i.pieces}
    steps = order_of(floor, batch_id).timed
    found = [s for s in steps if piece.id in reached[s.id] or s.id in worked]
    return tuple(reversed(found))


def _by_mark(floor: Floor, pieces: Collection[int]) -> list[int]:
    return sorted(pieces, key=lambda p: floor.get(Piece, p).position)
