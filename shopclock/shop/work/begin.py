"""Starting a step, shop work, or what was stopped; ending what runs, splitting it, taking pieces out of it."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from typing import TypedDict, Unpack

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.state.wording import shop_time, when_text, zone_of
from shopclock.shop.values.entities import Batch, CautionShown, Interval, Method, Piece, Stage, Step
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Certainty, Kind, WorkKind
from shopclock.shop.work.loads import (
    Blocked,
    blocked,
    blocked_text,
    fits,
    load_for,
    ready_inside,
    stopping,
    wait_sentence,
    who_waits,
)
from shopclock.shop.work.order_rules import note_broken, running_out
from shopclock.shop.work.piece_progress import eligible, held_from, order_of, theirs, through


class How(TypedDict, total=False):
    """Ways in which `begin` starts a step."""

    method_id: int | None
    work: WorkKind
    cause_step_id: int | None
    together: bool
    in_spite: bool


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
    wanted = by_mark(tx.floor, pieces if pieces is not None else eligible(tx.floor, step, tx.now_us))
    if not wanted:
        raise Refusal(f"No {step.name.lower()} left to do in this batch. Nothing was started.")
    leaving = frozenset() if together else stopping(tx.floor, tx.maker_id, step)
    going = fits(tx.floor, step, wanted, leaving)
    if not going:
        found = blocked(tx.floor, step, wanted, leaving, tx.now_us)
        why = blocked_text(tx.floor, found, tx.now_us) if found is not None else ready_inside(tx.floor, step)
        raise Refusal(f"{why[:1].upper()}{why[1:]}. Nothing was started.")
    begun = start_with(tx, step, going, method_id=method_id, work=work, cause_step_id=cause_step_id, together=together)
    warn_waiting(tx, step, [piece for piece in wanted if piece not in going])
    return begun


def begin_by_itself(tx: Transaction, step: Step, pieces: Sequence[int]) -> None:
    """Start the wait that begins by itself: in its tool for as many pieces as fit, for the others beside it."""
    going = fits(tx.floor, step, pieces)
    for some in (going, [piece for piece in pieces if piece not in going]):
        if some:
            start_with(tx, step, by_mark(tx.floor, some))


def start_with(tx: Transaction, step: Step, pieces: tuple[int, ...], **how: Unpack[How]) -> Interval:
    """Start a step with exactly these pieces; `in_spite`: they lie in its tool whatever else the record holds there."""
    together = how.get("together", False)
    note_broken(tx, step, pieces)
    let_go(tx, pieces, step)
    others = by_hand(tx) if step.kind is Kind.HANDS_ON else []
    for interval in others:
        if together:
            split(tx, replace(interval, together=True))
        else:
            end(tx, interval)
    note_shown(tx, step.stage_id, step)
    begun = replace(
        at_step(tx, step, pieces, tx.now_us, how.get("method_id")),
        work=how.get("work", WorkKind.RUN),
        cause_step_id=how.get("cause_step_id"),
        together=together and bool(others),
        load_id=load_for(tx, step, pieces, in_spite=how.get("in_spite", False)),
    )
    return tx.add(begun)


def at_step(
    tx: Transaction, step: Step, pieces: tuple[int, ...], start_us: int, method_id: int | None = None
) -> Interval:
    """Return plain work at a step from an instant on, by its usual method unless told; not yet on the floor."""
    return Interval(
        batch_id=step.batch_id,
        step_id=step.id,
        stage_id=step.stage_id,
        maker_id=tx.maker_id,
        method_id=method_id if method_id is not None else usual_method(tx.floor, step),
        kind=step.kind,
        start_us=start_us,
        start_sure=tx.sure,
        pieces=pieces,
    )


def warn_waiting(tx: Transaction, step: Step, pieces: Sequence[int]) -> None:
    """Warn in one line who of these has to wait for a step's tool, and until when."""
    found = blocked(tx.floor, step, pieces, (), tx.now_us)
    if found is not None:
        tx.warnings.append(ahead_sentence(tx.floor, found, tx.now_us))
    elif len(fits(tx.floor, step, pieces)) < len(pieces):
        why = ready_inside(tx.floor, step)
        tx.warnings.append(f"{who_waits(tx.floor, pieces)}. {why[:1].upper()}{why[1:]}.")


def begin_shop_work(tx: Transaction, stage: Stage) -> Interval:
    """Start work that belongs to no piece; it stops what runs by hand."""
    for interval in by_hand(tx):
        end(tx, interval)
    note_shown(tx, stage.id, None)
    return tx.add(
        Interval(stage_id=stage.id, kind=stage.kind, maker_id=tx.maker_id, start_us=tx.now_us, start_sure=tx.sure)
    )


def ahead_sentence(floor: ShopFloor, found: Blocked, now_us: int) -> str:
    """Say who waits for a tool until when, by when their step is due: F–J wait: oven full until 16:17, due by 17:05."""
    step, until_us = found.step, found.until_us
    if found.empty and step.wait_us is not None:
        until_us = now_us + step.wait_us
        found = replace(found, until_us=until_us, empty=False)
    due = [w.until_us for w in running_out(floor, now_us) if w.then.id == step.id and set(w.pieces) & set(found.pieces)]
    if not due:
        return wait_sentence(floor, found, now_us)
    who, full = who_waits(floor, found.pieces), blocked_text(floor, found, now_us)
    return f"{who}: {full}, {step.name} due by {when_text(min(due), now_us, zone_of(floor))}."


def step_of(floor: ShopFloor, interval: Interval) -> Step | None:
    """Return the step that an interval is spent at; shop work has none."""
    return floor.get(Step, interval.step_id) if interval.step_id is not None else None


def last_stopped(floor: ShopFloor, maker_id: int) -> list[Interval]:
    """Return what *Carry on* would start: what ended last, as far as it can go on."""
    ended = [floor.get(Interval, number) for number in floor.hands.last_ended(maker_id)]
    return [i for i in ended if i.step_id is None or still_there(floor, i)]


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
    elsewhere = theirs(floor, interval.maker_id, floor.get(Step, interval.step_id))
    return tuple(p for p in free if p not in done and p not in elsewhere)


def usual_method(floor: ShopFloor, step: Step) -> int | None:
    """Return the method that a stage was worked by last, or the first of its list."""
    methods = [m.id for m in floor.all(Method) if m.stage_id == step.stage_id and not m.put_away]
    worked = (i for i in floor.all(Interval) if methods and i.stage_id == step.stage_id and i.method_id)
    last = max(worked, key=lambda i: (i.start_us, i.id), default=None)
    if last is not None and last.method_id in methods:
        return last.method_id
    return methods[0] if methods else None


def stop(tx: Transaction) -> list[Interval]:
    """End what runs by hand; where nothing does, what is watched. Nobody is through by it."""
    running = by_hand(tx) or attended(tx)
    if not running:
        raise Refusal("Nothing is running. Nothing was changed.")
    return [end(tx, interval) for interval in running]


def end(tx: Transaction, interval: Interval) -> Interval:
    """End an interval now."""
    return tx.change(replace(tx.current(interval), end_us=tx.now_us, end_sure=tx.sure))


def split(tx: Transaction, changed: Interval) -> Interval:
    """End an interval and go on as this from the same instant on.

    Where it has only just begun, it is changed in place: an interval of no length says nothing.
    """
    current = tx.current(changed)
    if current.start_us == tx.now_us and not tx.floor.hands.done_in(current):
        return tx.change(changed)
    ended = end(tx, current)
    begins = replace(changed, start_us=tx.now_us, start_sure=tx.sure, continues_id=ended.id)
    return tx.add(replace(begins, end_us=None, end_sure=Certainty.PRESSED))


def gives_way(floor: ShopFloor, step: Step, pieces: Iterable[int]) -> list[Interval]:
    """Return what runs with some of these pieces and is in the way of a step: they are taken out of it at its start."""
    leaving = frozenset(pieces)
    order = order_of(floor, step.batch_id)
    return [i for i in floor.running.values() if leaving & set(i.pieces) and order.in_the_way(step, i.step_id)]


def let_go(tx: Transaction, pieces: Iterable[int], for_step: Step | None = None) -> None:
    """Take pieces out of whatever runs with them; what is left without pieces ends.

    With a step given, only out of what is in its way.
    """
    leaving = frozenset(pieces)
    if for_step is not None:
        holding = gives_way(tx.floor, for_step, leaving)
    else:
        holding = [i for i in tx.floor.running.values() if leaving & set(i.pieces)]
    for interval in holding:
        left = tuple(p for p in interval.pieces if p not in leaving)
        if left:
            split(tx, replace(interval, pieces=left))
        else:
            end(tx, interval)


def by_hand(tx: Transaction) -> list[Interval]:
    """Return what this maker runs by hand."""
    return attended(tx, (Kind.HANDS_ON,))


def attended(tx: Transaction, kinds: Collection[Kind] = (Kind.HANDS_ON, Kind.WATCH)) -> list[Interval]:
    """Return what this maker runs by hand or stays by, oldest first."""
    found = (i for i in tx.floor.running.values() if i.maker_id == tx.maker_id and i.kind in kinds)
    return sorted(found, key=lambda i: (i.start_us, i.id))


def by_mark(floor: ShopFloor, pieces: Iterable[int]) -> tuple[int, ...]:
    """Return pieces in the order of their marks."""
    return tuple(sorted(pieces, key=lambda p: floor.get(Piece, p).position))


def caution_of(floor: ShopFloor, stage_id: int, step: Step | None) -> str:
    """Return the caution of a step, else of its stage; empty where there is none."""
    return (step.caution if step is not None else "") or floor.get(Stage, stage_id).caution


def note_shown(tx: Transaction, stage_id: int, step: Step | None) -> None:
    """Keep that the first start of a stage on a day shows its caution: a restart doesn't say it again."""
    caution = caution_of(tx.floor, stage_id, step)
    if not caution:
        return
    zone = zone_of(tx.floor)
    shown = (c.at_us for c in tx.floor.all(CautionShown) if (c.stage_id, c.caution) == (stage_id, caution))
    if shop_time(tx.now_us, zone).date() not in {shop_time(at_us, zone).date() for at_us in shown}:
        tx.add(CautionShown(stage_id=stage_id, caution=caution, at_us=tx.now_us))
