"""Acts: what a press at the Bench marks, ends and starts, worked out once: its button says it, the press does it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Unpack

from shopclock.shop.state.wording import when_text, zone_of
from shopclock.shop.values.entities import Stage
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind, MarkedBy, WorkKind
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.begin import (
    How,
    begin_shop_work,
    by_mark,
    gives_way,
    last_stopped,
    start_with,
    step_of,
    still_there,
    warn_waiting,
)
from shopclock.shop.work.finish import all_through, end_if_running, next_step, not_through, out
from shopclock.shop.work.loads import Blocked, blocked, blocked_text, fits, holder, inside, lasted, room, stopping
from shopclock.shop.work.piece_progress import (
    come_so_far,
    eligible,
    held_from,
    in_hand_elsewhere,
    ready_at,
    theirs,
    through,
)

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import Interval, Step


@dataclass(frozen=True, slots=True)
class Act:
    """Act of one press.

    `passing` become through the step `at`; `ends` are those intervals that end, whole, under the maker's hands;
    `comes_out` are waits whose pieces come out of them; `starts` begins with the pieces `going`, as `how` says, or is
    shop work where only `stage` is given. `left` says who has to wait for the tool; `in_spite` that the record holds
    it to be full or set otherwise, and that it starts all the same; `early` that pieces are taken out of a wait.
    """

    at: Step | None = None
    passing: tuple[int, ...] = ()
    marked: MarkedBy = MarkedBy.ALL
    ends: tuple[Interval, ...] = ()
    comes_out: tuple[Interval, ...] = ()
    starts: Step | None = None
    going: tuple[int, ...] = ()
    stage: Stage | None = None
    how: How = field(default_factory=How)
    left: Blocked | None = None
    in_spite: Blocked | None = None
    early: tuple[Interval, ...] = ()


def carry_out(tx: Transaction, act: Act) -> Interval | None:
    """Do what an act says, no more and no less; returns what began, or what goes on in its stead."""
    if act.at is not None:
        all_through(tx, act.at, act.passing, act.marked)
    for interval in act.ends:
        end_if_running(tx, interval)
    for wait in act.early:
        out(tx, wait)
    for wait in act.comes_out:
        _come_out(tx, wait, said=act.starts is not None)
    if act.stage is not None:
        return begin_shop_work(tx, act.stage)
    begun = _begin(tx, act, act.starts) if act.starts is not None else None
    if act.left is not None:
        warn_waiting(tx, act.left.step, act.left.pieces)
    if act.in_spite is not None or act.early:
        tx.warnings.append(held_text(tx.floor, act, tx.now_us))
    return begun


def _come_out(tx: Transaction, wait: Interval, *, said: bool) -> None:
    out(tx, wait)
    where = step_of(tx.floor, wait)
    if said and where is not None:
        tx.warnings.append(f"{spoken(tx.floor.marks(wait.pieces))} came out of {where.name}.")


def _begin(tx: Transaction, act: Act, step: Step) -> Interval:
    """Start with those who go in and aren't there: what begins by itself has begun when they were marked."""
    there = [i for i in tx.floor.running.values() if i.step_id == step.id and _joins(i, tx.maker_id)]
    already = {piece for interval in there for piece in interval.pieces}
    going = tuple(p for p in act.going if p not in already)
    return start_with(tx, step, going, **act.how) if going else there[0]


def held_text(floor: ShopFloor, act: Act, now_us: int) -> str:
    """Say what the record held against an act that is done all the same: oven was at 800 °C until 20:55."""
    if act.in_spite is not None:
        was = blocked_text(floor, act.in_spite, now_us).replace(" at ", " was at ", 1).replace(" full", " was full", 1)
        return f"{was[:1].upper()}{was[1:]}."
    wait, step = act.early[0], step_of(floor, act.early[0])
    who = spoken(floor.marks([piece for one in act.early for piece in one.pieces]))
    at_us = ready_at(floor, wait)
    until = f" until {when_text(at_us, now_us, zone_of(floor))}" if at_us is not None else ""
    return f"{who}: {step.name if step is not None else 'wait'} was on{until}."


def start_act(
    floor: ShopFloor, maker_id: int, step: Step, now_us: int, pieces: Collection[int] = (), **how: Unpack[How]
) -> Act | None:
    """Return how a step starts now, with these pieces or with those that it starts with by itself.

    Nothing keeps it from starting but that no piece is left: the shop is right. Nothing is returned then, nor where all
    are in another maker's hands: out of these a piece comes only when it is chosen.
    """
    kept: How = how
    others = theirs(floor, maker_id, step)
    wanted = by_mark(floor, pieces or _starting(floor, step, now_us, others))
    if not wanted and others:
        return None
    in_hand = _in_hand(floor, maker_id, step, wanted, together=kept.get("together", False))
    if wanted and kept.get("work", WorkKind.RUN) is WorkKind.RUN and in_hand.issuperset(wanted):
        return None
    if kept.get("together"):
        wanted = tuple(p for p in wanted if p not in in_hand)
    if not wanted:
        return _again_or_early(floor, maker_id, step, now_us, kept)
    leaving = frozenset() if kept.get("together") else stopping(floor, maker_id, step)
    going, comes_out = _making_room(floor, step, wanted, leaving, now_us)
    left = in_spite = None
    there = _there(floor, maker_id, step, leaving)
    if not going or (there.issuperset(going) and not there.issuperset(wanted)):
        tool, wanted = holder(floor, step), tuple(p for p in wanted if p not in there) or wanted
        in_spite, kept = blocked(floor, step, wanted, leaving, now_us), {**kept, "in_spite": True}
        empty = {*leaving, *(i.id for i in inside(floor, tool))} if tool is not None else leaving
        going, comes_out = fits(floor, step, wanted, empty) or wanted, ()
    elif len(going) < len(wanted):
        gone = {*leaving, *(i.id for i in comes_out)}
        left = blocked(floor, step, wanted, gone, now_us)
    ends = _ending(floor, leaving, step, going)
    there = _there(floor, maker_id, step, [i.id for i in ends])
    going = tuple(p for p in going if p not in there) or going
    return Act(ends=ends, comes_out=comes_out, starts=step, going=going, how=kept, left=left, in_spite=in_spite)


def _there(floor: ShopFloor, maker_id: int, step: Step, ends: Collection[int]) -> set[int]:
    """Return who is at a step already and stays there when it is started with more, as these intervals end."""
    staying = (i for i in floor.running.values() if i.step_id == step.id and i.id not in ends)
    return {p for i in staying if _joins(i, maker_id) for p in i.pieces}


def _joins(running: Interval, maker_id: int) -> bool:
    """Tell whether a start joins what runs at its step: the same hands, or nobody's."""
    return running.maker_id == maker_id or not running.kind.attended


def _in_hand(floor: ShopFloor, maker_id: int, step: Step, pieces: Collection[int], *, together: bool) -> set[int]:
    """Return who of these is at a step already; what starts in addition takes nobody from other work by hand either."""
    there = [i for i in floor.running.values() if i.step_id == step.id and _joins(i, maker_id)]
    if together:
        there += [i for i in gives_way(floor, step, pieces) if i.kind.attended and i.maker_id == maker_id]
    return {p for i in there for p in i.pieces}


def _starting(floor: ShopFloor, step: Step, now_us: int, others: Collection[int]) -> tuple[int, ...]:
    """Return the pieces that a step starts with by itself.

    A wait takes nobody from under the hands but who comes from the step just before it, as long as there is somebody
    else, and nothing takes any of `others`, in another maker's hands.
    """
    wanted = eligible(floor, step, now_us, others)
    if step.kind.attended:
        return wanted
    elsewhere = in_hand_elsewhere(floor, step)
    return tuple(p for p in wanted if p not in elsewhere) or wanted


def _again_or_early(floor: ShopFloor, maker_id: int, step: Step, now_us: int, how: How) -> Act | None:
    """Return the start of a step that nobody is free for: out of a wait before its time, or again, as rework."""
    reached = through(floor, step.batch_id)[step.id]
    held = {piece: i for piece, i in held_from(floor, step, now_us).items() if piece not in reached}
    waits = tuple({i.id: i for i in held.values() if i.step_id != step.id}.values())
    leaving = frozenset() if how.get("together") else stopping(floor, maker_id, step)
    if waits:
        going = by_mark(floor, [piece for piece, i in held.items() if i in waits])
        return Act(ends=_ending(floor, leaving, step, going), starts=step, going=going, how=how, early=waits)
    if held:
        return Act(comes_out=tuple({i.id: i for i in held.values()}.values()))
    again = by_mark(floor, [p.id for p in floor.living(step.batch_id) if not p.set_aside and p.id in reached])
    if not again:
        return None
    rework: How = {**how, "work": WorkKind.REWORK, "cause_step_id": None}
    return Act(ends=_ending(floor, leaving, step, again), starts=step, going=again, how=rework)


def next_act(
    floor: ShopFloor, maker_id: int, interval: Interval, now_us: int, chosen: Collection[int] = ()
) -> Act | None:
    """Return *Next*: the pieces in hand are through; the step that follows begins with them.

    Those that have come so far before them come along: done one by one, or left there the last time. Of what was
    stopped, the pieces in hand are those that could be taken up again, or those chosen. Nothing for shop work, or
    where no piece is in hand.
    """
    step = step_of(floor, interval)
    pieces = interval.pieces if interval.running else by_mark(floor, chosen or still_there(floor, interval))
    if step is None or not pieces:
        return None
    own = (interval,) if interval.running else ()
    act = replace(through_act(floor, step, pieces), ends=own, marked=MarkedBy.NEXT)
    following = next_step(floor, step, pieces)
    if following is None:
        return act
    there = {p for i in floor.running.values() if i.step_id == following.id for p in i.pieces}
    ahead = {*not_through(floor, following, pieces), *come_so_far(floor, following, now_us)}
    wanted = by_mark(floor, ahead - there - theirs(floor, maker_id, following).keys())
    if not wanted:
        return act
    if following.begins_itself and not following.kind.attended:
        return replace(act, starts=following, going=wanted)
    leaving = {*stopping(floor, maker_id, following), *(i.id for i in own)}
    going, comes_out = _making_room(floor, following, wanted, leaving, now_us)
    gone = {*leaving, *(i.id for i in comes_out)}
    left = blocked(floor, following, wanted, gone, now_us) if len(going) < len(wanted) else None
    if not going:
        return replace(act, left=left)
    ends = {i.id: i for i in (*own, *_ending(floor, leaving, following, going))}
    return replace(act, ends=tuple(ends.values()), comes_out=comes_out, starts=following, going=going, left=left)


def through_act(floor: ShopFloor, step: Step, pieces: Iterable[int]) -> Act:
    """Return that these pieces are through a step, those that are not marked so yet."""
    marked = {tally.piece_id for tally in floor.tallies_of(step)}
    return Act(at=step, passing=by_mark(floor, [piece for piece in pieces if piece not in marked]))


def carry_on_act(
    floor: ShopFloor, maker_id: int, stopped: Interval, now_us: int, chosen: Collection[int] = ()
) -> Act | None:
    """Return that what was stopped goes on by itself: same step, method and pieces, those lost or through left out.

    With others where those were chosen meanwhile; nothing where nobody is left.
    """
    step = step_of(floor, stopped)
    if step is None:
        return Act(stage=floor.get(Stage, stopped.stage_id))
    pieces = chosen or still_there(floor, stopped)
    if not pieces:
        return None
    return start_act(
        floor, maker_id, step, now_us, pieces, method_id=stopped.method_id, work=stopped.work,
        cause_step_id=stopped.cause_step_id,
    )  # fmt: skip


def stop_act(floor: ShopFloor, maker_id: int, shown: Interval | None) -> Act | None:
    """Return that what runs by hand ends; a watch alone where it is shown, or where nothing runs by hand."""
    running = [i for i in floor.running.values() if i.maker_id == maker_id and i.kind.attended]
    running.sort(key=lambda i: (i.start_us, i.id))
    by_hand = [i for i in running if i.kind is Kind.HANDS_ON]
    if shown is not None and shown.kind is Kind.WATCH:
        by_hand = [i for i in running if i.id == shown.id]
    ends = tuple(by_hand or running)
    return Act(ends=ends) if ends else None


def out_act(waits: Iterable[Interval]) -> Act:
    """Return that pieces come out of what they wait in, before its time or after."""
    return Act(comes_out=tuple(waits))


def _making_room(
    floor: ShopFloor, step: Step, wanted: tuple[int, ...], leaving: Collection[int], now_us: int
) -> tuple[tuple[int, ...], tuple[Interval, ...]]:
    """Return who of these goes into a step's tool, and what has lasted its time in it and comes out to make room."""
    going, gone, comes_out = room(floor, step, wanted, leaving, now_us), {*leaving}, []
    for interval in lasted(floor, step, now_us):
        all_leave_it = set(interval.pieces) <= set(wanted)
        if len(fits(floor, step, wanted, gone)) < len(going) and not all_leave_it:
            comes_out.append(interval)
            gone.add(interval.id)
    return fits(floor, step, wanted, gone), tuple(comes_out)


def _ending(floor: ShopFloor, leaving: Collection[int], step: Step, going: Collection[int]) -> tuple[Interval, ...]:
    """Return what ends under the hands when a step starts: what stops by it, and what is left without pieces."""
    ends = {number: floor.running[number] for number in sorted(leaving) if number in floor.running}
    for interval in gives_way(floor, step, going):
        if interval.kind.attended and set(interval.pieces) <= set(going):
            ends.setdefault(interval.id, interval)
    return tuple(ends.values())


def go_on(tx: Transaction, interval: Interval, chosen: Collection[int] = ()) -> Interval | None:
    """*Next*, as `next_act` has it; returns what began, or nothing where nothing can."""
    act = next_act(tx.floor, tx.maker_id, interval, tx.now_us, chosen)
    if act is None:
        raise Refusal("Shop work has no next step. Nothing was changed.")
    return carry_out(tx, act)


def carry_on(tx: Transaction, stopped: Interval | None = None) -> Interval | None:
    """*Carry on* with this, or with what was stopped last, as `carry_on_act` has it; returns what began."""
    last = stopped or next(iter(last_stopped(tx.floor, tx.maker_id)), None)
    act = carry_on_act(tx.floor, tx.maker_id, last, tx.now_us) if last is not None else None
    if act is None:
        raise Refusal("Nothing of it can go on. Nothing was started.")
    return carry_out(tx, act)


def put_in(tx: Transaction, step: Step, pieces: Collection[int] = (), **how: Unpack[How]) -> Interval:
    """Start a step as far as its tool has room; refused where it has none, or all are in a wait."""
    act = start_act(tx.floor, tx.maker_id, step, tx.now_us, pieces, **how)
    if act is not None and act.in_spite is not None:
        why = blocked_text(tx.floor, act.in_spite, tx.now_us)
        raise Refusal(f"{why[:1].upper()}{why[1:]}. Nothing was started.")
    plain = act is not None and not act.early and act.how.get("work") == how.get("work")
    begun = carry_out(tx, act) if act is not None and plain else None
    if begun is None:
        raise Refusal(f"No {step.name.lower()} left to do in this batch. Nothing was started.")
    return begun
