"""Starting a step, shop work, or what was stopped."""

from collections.abc import Sequence
from typing import Any

from shopclock.shop.cautions import note_shown
from shopclock.shop.errors import Refusal
from shopclock.shop.floor import Floor
from shopclock.shop.kinds import Kind, Work
from shopclock.shop.load_words import blocked_text, ready_inside, wait_sentence
from shopclock.shop.loads import blocked, fits, load_for, stopping
from shopclock.shop.marks import spoken
from shopclock.shop.rules import note_broken
from shopclock.shop.standing import eligible, held_from, through
from shopclock.shop.stretch import attended, by_hand, end, let_go, open_at, split
from shopclock.shop.turn import Turn
from shopclock.shop.values import Batch, Interval, Method, Piece, Stage, Step


def begin(
    turn: Turn,
    step: Step,
    pieces: Sequence[int] | None = None,
    *,
    method_id: int | None = None,
    work: Work = Work.RUN,
    cause_step_id: int | None = None,
    together: bool = False,
) -> Interval:
    """Start a step with these pieces, or with those that it starts with by itself.

    A hands-on step stops what runs by hand, unless both run at once. Pieces come out of whatever
    holds them. Into a tool go as many as fit; a warning says who waits, and until when. Refused when
    there is no piece to start with, or no room for any.
    """
    cover = _by_mark(turn.floor, pieces if pieces is not None else eligible(turn.floor, step, turn.now_us))
    if not cover:
        raise Refusal(f"No {step.name.lower()} left to do in this batch. Nothing was started.")
    wanted, cover = cover, _going_in(turn, step, cover, together=together)
    note_broken(turn, step, cover)
    let_go(turn, cover, step)
    shared = step.kind is Kind.HANDS_ON and _clear_hands(turn, together)
    note_shown(turn, step.stage_id, step)
    begun = _open(
        turn,
        step,
        cover,
        method_id=method_id if method_id is not None else usual_method(turn.floor, step),
        work=work,
        cause_step_id=cause_step_id,
        together=shared,
    )
    warn_waiting(turn, step, [piece for piece in wanted if piece not in cover])
    return begun


def begin_by_itself(turn: Turn, step: Step, pieces: Sequence[int]) -> None:
    """Start the wait that begins by itself: in its tool for as many pieces as fit, for the others beside it."""
    going = fits(turn.floor, step, pieces)
    for some in (going, [piece for piece in pieces if piece not in going]):
        if some:
            cover = _by_mark(turn.floor, some)
            note_broken(turn, step, cover)
            let_go(turn, cover, step)
            note_shown(turn, step.stage_id, step)
            _open(turn, step, cover, method_id=usual_method(turn.floor, step))


def _open(turn: Turn, step: Step, pieces: tuple[int, ...], **how: Any) -> Interval:
    plain = {"work": Work.RUN, "load_id": load_for(turn, step, pieces), "pieces": pieces, "kind": step.kind}
    return open_at(turn, batch_id=step.batch_id, step_id=step.id, stage_id=step.stage_id, **(plain | how))


def _going_in(turn: Turn, step: Step, pieces: tuple[int, ...], *, together: bool) -> tuple[int, ...]:
    leaving = frozenset() if together else stopping(turn.floor, turn.maker_id, step)
    going = fits(turn.floor, step, pieces, leaving)
    if not going:
        found = blocked(turn.floor, step, pieces, leaving, turn.now_us)
        why = blocked_text(turn.floor, found, turn.now_us) if found is not None else ready_inside(turn.floor, step)
        raise Refusal(f"{why[:1].upper()}{why[1:]}. Nothing was started.")
    return going


def warn_waiting(turn: Turn, step: Step, pieces: Sequence[int]) -> None:
    """Warn in one line who of these has to wait for a step's tool, and until when."""
    found = blocked(turn.floor, step, pieces, (), turn.now_us)
    if found is not None:
        turn.warnings.append(wait_sentence(turn.floor, found, turn.now_us))
    elif len(fits(turn.floor, step, pieces)) < len(pieces):
        turn.warnings.append(f"{spoken(turn.floor.marks(pieces))}: {ready_inside(turn.floor, step)}.")


def begin_shop_work(turn: Turn, stage: Stage) -> Interval:
    """Start work that belongs to no piece; it stops what runs by hand."""
    _stop_hands(turn)
    note_shown(turn, stage.id, None)
    return open_at(
        turn,
        batch_id=None,
        step_id=None,
        stage_id=stage.id,
        method_id=None,
        kind=stage.kind,
        work=Work.RUN,
        pieces=(),
    )


def carry_on(turn: Turn) -> list[Interval]:
    """Start again what was stopped last: same step, method and pieces, those lost left out."""
    if by_hand(turn):
        raise Refusal("Work is running already. Nothing was started.")
    begun = []
    for interval in last_stopped(turn.floor, turn.maker_id):
        pieces = still_there(turn.floor, interval)
        step = step_of(turn.floor, interval)
        if step is None:
            begun.append(begin_shop_work(turn, turn.floor.get(Stage, interval.stage_id)))
        elif pieces:
            begun.append(_again(turn, interval, step, pieces))
    return begun


def step_of(floor: Floor, interval: Interval) -> Step | None:
    """Return the step that an interval is spent at; shop work has none."""
    return floor.get(Step, interval.step_id) if interval.step_id is not None else None


def last_stopped(floor: Floor, maker_id: int) -> list[Interval]:
    """Return what *Carry on* would start: what ended last, as far as it can go on."""
    ended = [floor.get(Interval, number) for number in floor.hands.last_ended(maker_id)]
    return [i for i in ended if i.step_id is None or still_there(floor, i)]


def _again(turn: Turn, interval: Interval, step: Step, pieces: tuple[int, ...]) -> Interval:
    return begin(
        turn,
        step,
        pieces,
        method_id=interval.method_id,
        work=interval.work,
        cause_step_id=interval.cause_step_id,
        together=interval.together,
    )


def still_there(floor: Floor, interval: Interval) -> tuple[int, ...]:
    """Return the pieces of an interval that can be taken up again."""
    if interval.batch_id is None or interval.step_id is None:
        return ()
    batch = floor.find(Batch, interval.batch_id)
    if batch is None or batch.closed_us is not None:
        return ()
    waiting = held_from(floor, floor.get(Step, interval.step_id))
    pieces = [floor.get(Piece, p) for p in interval.pieces]
    free = [p.id for p in pieces if p.living and not p.set_aside and p.id not in waiting]
    done = through(floor, batch.id)[interval.step_id] if interval.work is Work.RUN else set()
    return tuple(p for p in free if p not in done)


def usual_method(floor: Floor, step: Step) -> int | None:
    """Return the method that a stage was worked by last, or the first of its list."""
    methods = [m for m in floor.all(Method) if m.stage_id == step.stage_id and not m.put_away]
    if not methods:
        return None
    last = max(
        (i for i in floor.all(Interval) if i.stage_id == step.stage_id and i.method_id),
        key=lambda i: (i.start_us, i.id),
        default=None,
    )
    known = {method.id for method in methods}
    if last is not None and last.method_id in known:
        return last.method_id
    return methods[0].id


def _stop_hands(turn: Turn) -> None:
    for interval in by_hand(turn):
        end(turn, interval)


def _clear_hands(turn: Turn, together: bool) -> bool:
    """Stop what runs by hand, or mark it as sharing the hands; tell whether it does."""
    if not together:
        _stop_hands(turn)
        return False
    running = by_hand(turn)
    for interval in running:
        split(turn, interval, together=True)
    return bool(running)


def stop(turn: Turn) -> list[Interval]:
    """End what runs by hand; where nothing does, what is watched. Nobody is through by it."""
    running = by_hand(turn) or attended(turn)
    if not running:
        raise Refusal("Nothing is running. Nothing was changed.")
    return [end(turn, interval) for interval in running]


def _by_mark(floor: Floor, pieces: Sequence[int]) -> tuple[int, ...]:
    return tuple(sorted(pieces, key=lambda p: floor.get(Piece, p).position))
