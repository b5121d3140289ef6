"""The order rules of a batch: the steps that each joins, and since when it counts for a piece."""

from collections.abc import Iterator

from shopclock.shop.chain import began_us
from shopclock.shop.floor import Floor
from shopclock.shop.kinds import StepState, Work
from shopclock.shop.values import Batch, Interval, OrderRule, Step


def rules_of(floor: Floor, batch: Batch) -> Iterator[tuple[OrderRule, Step, Step]]:
    """Yield a batch's rules, each with the step it begins at and the step it ends at.

    A rule that begins at a step which the batch skips, or did before timing began, asks nothing.
    """
    by_route = {s.route_step_id: s for s in floor.steps(batch.id)}
    for rule in floor.all(OrderRule):
        if rule.route_id == batch.route_id:
            first, then = by_route.get(rule.first_step_id), by_route.get(rule.then_step_id)
            if first is not None and then is not None and first.state is StepState.TIMED:
                yield rule, first, then


def done_since(floor: Floor, step: Step, piece: int, *, last: bool) -> int | None:
    """Return when a piece did a step: its own mark, else the start (or end) of its interval.

    Set-up does nothing to a piece. A wait counts from its start, whenever it was taken out: the
    minutes of an *at least* rule stand in the wait step. Done again counts anew.
    """
    newest = newest_at(floor, step, piece)
    if last and newest is not None and not newest.kind.attended:
        return began_us(floor, newest, piece)
    marked = [t.at_us for t in floor.tallies_of(step) if t.piece_id == piece]
    again = newest is not None and newest.work is Work.REWORK and newest.start_us > max(marked, default=0)
    if newest is None or (marked and not again):
        return marked[-1] if marked else None
    return newest.end_us if last and newest.end_us is not None else began_us(floor, newest, piece)


def newest_at(floor: Floor, step: Step, piece: int) -> Interval | None:
    """Return the last interval that worked a piece at a step, set-up left out, or nothing."""
    worked = (
        i
        for i in floor.of_batch(Interval, step.batch_id)
        if i.step_id == step.id and piece in i.pieces and i.work is not Work.SETUP
    )
    return max(worked, key=lambda i: (i.start_us, i.id), default=None)
