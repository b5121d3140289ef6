"""Order rules of a batch: which steps each joins, what spoils by when, and a start that goes against one."""

from collections import defaultdict
from collections.abc import Collection, Iterator
from dataclasses import dataclass

from shopclock.shop.state.shop_floor import Memo, ShopFloor, began_us
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Batch, Interval, OrderRule, RuleBroken, Step, Tally
from shopclock.shop.values.kinds import MarkedBy, RuleKind, StepState, WorkKind
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.piece_progress import lasts_us, order_of, through


def rules_of(floor: ShopFloor, batch: Batch) -> Iterator[tuple[OrderRule, Step, Step]]:
    """Yield a batch's rules, each with the step it begins at and the step it ends at.

    A rule that begins at a step which the batch skips, or did before timing began, asks nothing.
    """
    by_route = {s.route_step_id: s for s in floor.steps(batch.id)}
    for rule in floor.all(OrderRule):
        if rule.route_id == batch.route_id:
            first, then = by_route.get(rule.first_step_id), by_route.get(rule.then_step_id)
            if first is not None and then is not None and first.state is StepState.TIMED:
                yield rule, first, then


def done_since(floor: ShopFloor, step: Step, piece: int, *, last: bool) -> int | None:
    """Return when a piece did a step: its own mark, else the start (or end) of its interval.

    Set-up does nothing to a piece. A wait counts from its start, whenever it was taken out: the
    minutes of an *at least* rule stand in the wait step. Done again counts anew. When a piece was at a step before
    timing began nobody knows.
    """
    newest = newest_at(floor, step, piece)
    if last and newest is not None and not newest.kind.attended:
        return began_us(floor, newest, piece)
    marked = [t.at_us for t in floor.tallies_of(step) if t.piece_id == piece and t.how not in NOT_DONE_THEN]
    again = newest is not None and newest.work is WorkKind.REWORK and newest.start_us > max(marked, default=0)
    if newest is None or (marked and not again):
        return marked[-1] if marked else None
    return newest.end_us if last and newest.end_us is not None else began_us(floor, newest, piece)


NOT_DONE_THEN = (MarkedBy.BEFORE, MarkedBy.SKIPPED)
"""Marks whose instant says nothing of when the piece was at the step."""


def newest_at(floor: ShopFloor, step: Step, piece: int) -> Interval | None:
    """Return the last interval that worked a piece at a step, set-up left out, or nothing."""
    worked = (
        i
        for i in floor.of_batch(Interval, step.batch_id)
        if i.step_id == step.id and piece in i.pieces and i.work is not WorkKind.SETUP
    )
    return max(worked, key=lambda i: (i.start_us, i.id), default=None)


@dataclass(frozen=True, slots=True)
class Deadline:
    """Pieces that did one step and have to start another by an instant, which may have passed."""

    rule: OrderRule
    batch: Batch
    first: Step
    then: Step
    pieces: tuple[int, ...]
    since_us: int
    until_us: int


def running_out(floor: ShopFloor, now_us: int) -> tuple[Deadline, ...]:
    """Return the *within* rules that run now, the soonest first; what has run over stays in front.

    A rule runs for a piece from its mark at the first step, else from the start of the interval
    that did it, until the piece starts the step asked for or is lost. Pieces of one rule with the
    same instants stand together.
    """
    found = floor.memo(_RUNNING_OUT)
    if None not in found:
        found[None] = tuple(sorted(_deadlines(floor), key=lambda d: (d.until_us, d.batch.id, d.rule.id)))
    return tuple(within for within in found[None] if within.since_us <= now_us)


_RUNNING_OUT: Memo[None, tuple[Deadline, ...]] = Memo()


def _deadlines(floor: ShopFloor) -> Iterator[Deadline]:
    for batch in floor.open_batches():
        for rule, first, then in rules_of(floor, batch):
            if rule.kind is not RuleKind.WITHIN or then.state is not StepState.TIMED:
                continue
            by_start: dict[int, list[int]] = defaultdict(list)
            for piece in floor.living(batch.id):
                since = done_since(floor, first, piece.id, last=False)
                gone_on = since is None or went_on(floor, first, then, piece.id)
                if since is not None and not gone_on and _has_done(floor, first, piece.id):
                    by_start[since].append(piece.id)
            for since, pieces in by_start.items():
                yield Deadline(rule, batch, first, then, tuple(pieces), since, since + (rule.limit_us or 0))


def _has_done(floor: ShopFloor, first: Step, piece: int) -> bool:
    """Tell whether a piece that was worked at a step did it, as far as anybody can know.

    Where pieces are marked one by one, those not marked have not done it yet; nor have those just
    being worked one by one. In rounds, all that are worked count: better too early than too late.
    """
    tallies = floor.tallies_of(first)
    if any(t.piece_id == piece for t in tallies):
        return True
    newest = newest_at(floor, first, piece)
    if newest is None or not first.one_by_one:
        return newest is not None
    return not newest.running and not any(t.how is MarkedBy.DONE for t in tallies)


def went_on(floor: ShopFloor, first: Step, then: Step, piece: int) -> bool:
    """Tell whether a piece started the step asked for, or a later one, since it last did the first."""
    order = order_of(floor, first.batch_id)
    onward = {s.id for s in order.steps if s.id == then.id or then.id in order.earlier[s.id]}
    starts = [i.start_us for i in floor.of_batch(Interval, first.batch_id) if i.step_id in onward and piece in i.pieces]
    marks = [t.at_us for t in floor.of_batch(Tally, first.batch_id) if t.step_id in onward and t.piece_id == piece]
    newest = newest_at(floor, first, piece)
    return bool(starts or marks) and (newest is None or max(*starts, *marks, 0) >= newest.start_us)


def note_broken(tx: Transaction, step: Step, pieces: Collection[int]) -> None:
    """Warn in one line for each rule that this start goes against, and keep that it did."""
    for rule, first, then in rules_of(tx.floor, tx.floor.get(Batch, step.batch_id)):
        if then.id != step.id:
            continue
        against = tuple(p for p in pieces if _goes_against(tx, rule, first, step, p))
        if against:
            tx.add(RuleBroken(rule_id=rule.id, step_id=step.id, at_us=tx.now_us, pieces=against))
            tx.warnings.append(_sentence(tx.floor, rule, first, step, against))


def _goes_against(tx: Transaction, rule: OrderRule, first: Step, then: Step, piece: int) -> bool:
    reached = through(tx.floor, first.batch_id)[first.id]
    if rule.kind is RuleKind.BEFORE:
        in_hand = any(i.step_id == first.id and piece in i.pieces for i in tx.floor.running.values())
        return piece not in reached and not in_hand
    since = done_since(tx.floor, first, piece, last=rule.kind is RuleKind.AT_LEAST)
    if since is None:
        known = any(t.piece_id == piece and t.how in NOT_DONE_THEN for t in tx.floor.tallies_of(first))
        return rule.kind is RuleKind.AT_LEAST and not known
    if rule.kind is RuleKind.WITHIN and went_on(tx.floor, first, then, piece):
        return False
    gone, limit = tx.now_us - since, _limit_us(tx.floor, rule, first, piece)
    return gone > limit if rule.kind is RuleKind.WITHIN else gone < limit


def _limit_us(floor: ShopFloor, rule: OrderRule, first: Step, piece: int) -> int:
    """Return the minutes of a rule; those of *at least* stand in the wait, as it lasted for this piece."""
    if rule.limit_us is not None:
        return rule.limit_us
    wait = newest_at(floor, first, piece)
    return (lasts_us(floor, wait) if wait is not None else first.wait_us) or 0


def _sentence(floor: ShopFloor, rule: OrderRule, first: Step, then: Step, pieces: Collection[int]) -> str:
    who = spoken(floor.marks(pieces))
    if rule.kind is RuleKind.BEFORE:
        return f"{who}: {first.name} should come before {then.name}."
    if rule.kind is RuleKind.WITHIN:
        return f"{who}: {then.name} came too late after {first.name}."
    return f"{who}: {first.name} has not lasted its time."
