"""What spoils: the *within* rules that run, for which pieces, and until when."""

from collections import defaultdict
from dataclasses import dataclass

from shopclock.shop.floor import Floor
from shopclock.shop.kinds import How, RuleKind, StepState
from shopclock.shop.order import order_of
from shopclock.shop.order_rules import done_since, newest_at, rules_of
from shopclock.shop.values import Batch, Interval, OrderRule, Step, Tally


@dataclass(frozen=True, slots=True)
class Within:
    """Pieces that did one step and have to start another by an instant, which may have passed."""

    rule: OrderRule
    batch: Batch
    first: Step
    then: Step
    pieces: tuple[int, ...]
    since_us: int
    until_us: int


def running_out(floor: Floor, now_us: int) -> tuple[Within, ...]:
    """Return the *within* rules that run now, the soonest first; what has run over stays in front.

    A rule runs for a piece from its mark at the first step, else from the start of the interval
    that did it, until the piece starts the step asked for or is lost. Pieces of one rule with the
    same instants stand together.
    """
    found = floor.memo.get("running out")
    if not isinstance(found, tuple):
        found = floor.memo["running out"] = _all(floor)
    return tuple(within for within in found if within.since_us <= now_us)


def _all(floor: Floor) -> tuple[Within, ...]:
    found = [
        within
        for batch in floor.open_batches()
        for rule, first, then in rules_of(floor, batch)
        if rule.kind is RuleKind.WITHIN and then.state is StepState.TIMED
        for within in _of_rule(floor, batch, rule, first, then)
    ]
    return tuple(sorted(found, key=lambda w: (w.until_us, w.batch.id, w.rule.id)))


def _of_rule(floor: Floor, batch: Batch, rule: OrderRule, first: Step, then: Step) -> list[Within]:
    limit = rule.limit_us or 0
    by_start: dict[int, list[int]] = defaultdict(list)
    for piece in floor.living(batch.id):
        since = done_since(floor, first, piece.id, last=False)
        if since is not None and _has_done(floor, first, piece.id) and not went_on(floor, first, then, piece.id):
            by_start[since].append(piece.id)
    return [Within(rule, batch, first, then, tuple(p), since, since + limit) for since, p in by_start.items()]


def _has_done(floor: Floor, first: Step, piece: int) -> bool:
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
    return not newest.running and not any(t.how is How.DONE for t in tallies)


def went_on(floor: Floor, first: Step, then: Step, piece: int) -> bool:
    """Tell whether a piece started the step asked for, or a later one, since it last did the first."""
    order = order_of(floor, first.batch_id)
    onward = {s.id for s in order.steps if s.id == then.id or then.id in order.earlier[s.id]}
    starts = [i.start_us for i in floor.of_batch(Interval, first.batch_id) if i.step_id in onward and piece in i.pieces]
    marks = [t.at_us for t in floor.of_batch(Tally, first.batch_id) if t.step_id in onward and t.piece_id == piece]
    newest = newest_at(floor, first, piece)
    return bool(starts or marks) and (newest is None or max(*starts, *marks, 0) >= newest.start_us)
