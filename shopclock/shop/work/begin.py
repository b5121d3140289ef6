"""Starting a step, shop work, or what was stopped."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TypedDict

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Batch, Interval, Method, Piece, Stage, Step
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind, WorkKind
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.cautions import note_shown
from shopclock.shop.work.intervals import attended, by_hand, end, let_go, split
from shopclock.shop.work.loads import blocked, blocked_text, fits, load_for, ready_inside, stopping, wait_sentence
from shopclock.shop.work.order_rules import note_broken
from shopclock.shop.work.piece_progress import eligible, held_from, through


class How(TypedDict, total=False):
    """How a step is started, as `begin` takes it."""

    method_id: int | None
    work: WorkKind
    cause_step_id: int | None
    together: bool


def begin(
    tx: Transaction,
    step: Step,
    pieces: Sequence[int] | None = None,
    *,
    method_id: int | None = None,
    work: WorkKind = WorkKind.RUN,
    cause_step_id: int | None = None,
    together: bool = False,
) -> Interval:
    """Start a step with these pieces, or with those that it starts with by itself.

    A hands-on step stops what runs by hand, unless both run at once. Pieces come out of whatever
    holds them. Into a tool go as many as fit; a warning says who waits, and until when. Refused when
    there is no piece to start with, or no room for any.
    """
    cover = _by_mark(tx.floor, pieces if pieces is not None else eligible(tx.floor, step, tx.now_us))
    if not cover:
        raise Refusal(f"No {step.name.lower()} left to do in this batch. Nothing was started.")
    wanted, cover = cover, _going_in(tx, step, cover, together=together)
    note_broken(tx, step, cover)
    let_go(tx, cover, step)
    shared = step.kind is Kind.HANDS_ON and _clear_hands(tx, together)
    note_shown(tx, step.stage_id, step)
    begun = _open(tx, step, cover, method_id, work, cause_step_id, together=shared)
    warn_waiting(tx, step, [piece for piece in wanted if piece not in cover])
    return begun


def begin_by_itself(tx: Transaction, step: Step, pieces: Sequence[int]) -> None:
    """Start the wait that begins by itself: in its tool for as many pieces as fit, for the others beside it."""
    going = fits(tx.floor, step, pieces)
    for some in (going, [piece for piece in pieces if piece not in going]):
        if some:
            cover = _by_mark(tx.floor, some)
            note_broken(tx, step, cover)
            let_go(tx, cover, step)
            note_shown(tx, step.stage_id, step)
            _open(tx, step, cover)


def _open(
    tx: Transaction,
    step: Step,
    pieces: tuple[int, ...],
    method_id: int | None = None,
    work: WorkKind = WorkKind.RUN,
    cause_step_id: int | None = None,
    *,
    together: bool = False,
) -> Interval:
    return tx.add(
        Interval(
            batch_id=step.batch_id,
            step_id=step.id,
            stage_id=step.stage_id,
            maker_id=tx.maker_id,
            method_id=method_id if method_id is not None else usual_method(tx.floor, step),
            kind=step.kind,
            work=work,
            cause_step_id=cause_step_id,
            start_us=tx.now_us,
            start_sure=tx.sure,
            together=together,
            load_id=load_for(tx, step, pieces),
            pieces=pieces,
        )
    )


def _going_in(tx: Transaction, step: Step, pieces: tuple[int, ...], *, together: bool) -> tuple[int, ...]:
    leaving = frozenset() if together else stopping(tx.floor, tx.maker_id, step)
    going = fits(tx.floor, step, pieces, leaving)
    if not going:
        found = blocked(tx.floor, step, pieces, leaving, tx.now_us)
        why = blocked_text(tx.floor, found, tx.now_us) if found is not None else ready_inside(tx.floor, step)
        raise Refusal(f"{why[:1].upper()}{why[1:]}. Nothing was started.")
    return going


def warn_waiting(tx: Transaction, step: Step, pieces: Sequence[int]) -> None:
    """Warn in one line who of these has to wait for a step's tool, and until when."""
    found = blocked(tx.floor, step, pieces, (), tx.now_us)
    if found is not None:
        tx.warnings.append(wait_sentence(tx.floor, found, tx.now_us))
    elif len(fits(tx.floor, step, pieces)) < len(pieces):
        tx.warnings.append(f"{spoken(tx.floor.marks(pieces))}: {ready_inside(tx.floor, step)}.")


def begin_shop_work(tx: Transaction, stage: Stage) -> Interval:
    """Start work that belongs to no piece; it stops what runs by hand."""
    _stop_hands(tx)
    note_shown(tx, stage.id, None)
    return tx.add(
        Interval(stage_id=stage.id, kind=stage.kind, maker_id=tx.maker_id, start_us=tx.now_us, start_sure=tx.sure)
    )


def carry_on(tx: Transaction) -> list[Interval]:
    """Start again what was stopped last: same step, method and pieces, those lost left out."""
    if by_hand(tx):
        raise Refusal("Work is running already. Nothing was started.")
    begun = []
    for interval in last_stopped(tx.floor, tx.maker_id):
        pieces = still_there(tx.floor, interval)
        step = step_of(tx.floor, interval)
        if step is None:
            begun.append(begin_shop_work(tx, tx.floor.get(Stage, interval.stage_id)))
        elif pieces:
            begun.append(_again(tx, interval, step, pieces))
    return begun


def step_of(floor: ShopFloor, interval: Interval) -> Step | None:
    """Return the step that an interval is spent at; shop work has none."""
    return floor.get(Step, interval.step_id) if interval.step_id is not None else None


def last_stopped(floor: ShopFloor, maker_id: int) -> list[Interval]:
    """Return what *Carry on* would start: what ended last, as far as it can go on."""
    ended = [floor.get(Interval, number) for number in floor.hands.last_ended(maker_id)]
    return [i for i in ended if i.step_id is None or still_there(floor, i)]


def _again(tx: Transaction, interval: Interval, step: Step, pieces: tuple[int, ...]) -> Interval:
    return begin(
        tx,
        step,
        pieces,
        method_id=interval.method_id,
        work=interval.work,
        cause_step_id=interval.cause_step_id,
        together=interval.together,
    )


def still_there(floor: ShopFloor, interval: Interval) -> tuple[int, ...]:
    """Return the pieces of an interval that can be taken up again."""
    if interval.batch_id is None or interval.step_id is None:
        return ()
    batch = floor.find(Batch, interval.batch_id)
    if batch is None or batch.closed_us is not None:
        return ()
    waiting = held_from(floor, floor.get(Step, interval.step_id))
    pieces = [floor.get(Piece, p) for p in interval.pieces]
    free = [p.id for p in pieces if p.living and not p.set_aside and p.id not in waiting]
    done = through(floor, batch.id)[interval.step_id] if interval.work is WorkKind.RUN else set()
    return tuple(p for p in free if p not in done)


def usual_method(floor: ShopFloor, step: Step) -> int | None:
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


def _stop_hands(tx: Transaction) -> None:
    for interval in by_hand(tx):
        end(tx, interval)


def _clear_hands(tx: Transaction, together: bool) -> bool:
    """Stop what runs by hand, or mark it as sharing the hands; tell whether it does."""
    if not together:
        _stop_hands(tx)
        return False
    running = by_hand(tx)
    for interval in running:
        split(tx, replace(interval, together=True))
    return bool(running)


def stop(tx: Transaction) -> list[Interval]:
    """End what runs by hand; where nothing does, what is watched. Nobody is through by it."""
    running = by_hand(tx) or attended(tx)
    if not running:
        raise Refusal("Nothing is running. Nothing was changed.")
    return [end(tx, interval) for interval in running]


def _by_mark(floor: ShopFloor, pieces: Sequence[int]) -> tuple[int, ...]:
    return tuple(sorted(pieces, key=lambda p: floor.get(Piece, p).position))
