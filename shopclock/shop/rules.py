"""Order rules when a step is started: a warning and a note, never a refusal."""

from collections.abc import Collection, Iterator

from shopclock.shop.floor import Floor
from shopclock.shop.kinds import RuleKind
from shopclock.shop.marks import spoken
from shopclock.shop.order_rules import done_since, newest_at, rules_of
from shopclock.shop.standing import lasts_us, through
from shopclock.shop.turn import Turn
from shopclock.shop.values import Batch, OrderRule, RuleBroken, Step
from shopclock.shop.within import went_on


def note_broken(turn: Turn, step: Step, pieces: Collection[int]) -> None:
    """Warn in one line for each rule that this start goes against, and keep that it did."""
    for rule, first in _rules_for(turn.floor, step):
        against = tuple(p for p in pieces if _goes_against(turn, rule, first, step, p))
        if against:
            turn.new(RuleBroken, rule_id=rule.id, step_id=step.id, at_us=turn.now_us, pieces=against)
            turn.warnings.append(_sentence(turn.floor, rule, first, step, against))


def _rules_for(floor: Floor, step: Step) -> Iterator[tuple[OrderRule, Step]]:
    """Yield the rules that end at a step, each with the step it begins at."""
    for rule, first, then in rules_of(floor, floor.get(Batch, step.batch_id)):
        if then.id == step.id:
            yield rule, first


def _goes_against(turn: Turn, rule: OrderRule, first: Step, then: Step, piece: int) -> bool:
    reached = through(turn.floor, first.batch_id)[first.id]
    if rule.kind is RuleKind.BEFORE:
        return piece not in reached and not _in_hand(turn.floor, first, piece)
    since = done_since(turn.floor, first, piece, last=rule.kind is RuleKind.AT_LEAST)
    if since is None:
        return rule.kind is RuleKind.AT_LEAST
    if rule.kind is RuleKind.WITHIN and went_on(turn.floor, first, then, piece):
        return False
    gone, limit = turn.now_us - since, _limit_us(turn.floor, rule, first, piece)
    return gone > limit if rule.kind is RuleKind.WITHIN else gone < limit


def _limit_us(floor: Floor, rule: OrderRule, first: Step, piece: int) -> int:
    """Return the minutes of a rule; those of *at least* stand in the wait, as it lasted for this piece."""
    if rule.limit_us is not None:
        return rule.limit_us
    wait = newest_at(floor, first, piece)
    return (lasts_us(floor, wait) if wait is not None else first.wait_us) or 0


def _in_hand(floor: Floor, step: Step, piece: int) -> bool:
    return any(i.step_id == step.id and piece in i.pieces for i in floor.running.values())


def _sentence(floor: Floor, rule: OrderRule, first: Step, then: Step, pieces: Collection[int]) -> str:
    who = spoken(floor.marks(pieces))
    if rule.kind is RuleKind.BEFORE:
        return f"{who}: {first.name} should come before {then.name}."
    if rule.kind is RuleKind.WITHIN:
        return f"{who}: {then.name} came too late after {first.name}."
    return f"{who}: {first.name} has not lasted its time."
