"""Answers about a forgotten stop. Only what follows the last sure moment is estimated."""

from dataclasses import replace

from shopclock.shop.recovery.questions import YES, answered
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Interval, Piece, Question, Step
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Certainty, Kind, StepState
from shopclock.shop.work.begin import at_step
from shopclock.shop.work.loads import load_for
from shopclock.shop.work.order_rules import note_broken
from shopclock.shop.work.overlap_rules import make_sure
from shopclock.shop.work.piece_progress import held_from, through

STOPPED, OTHER, ENDED = "stopped", "other step", "ended"
MINUTE_US = 60_000_000


def still_at_it(tx: Transaction, question: Question) -> Question:
    """Nothing was forgotten; it is asked again only after another such span."""
    return answered(tx, question, YES)


def stopped(tx: Transaction, question: Question, end_us: int) -> Interval:
    """End what runs at an instant that the maker tells, or that is usual."""
    interval = _about(tx.floor, question)
    answered(tx, question, STOPPED)
    return _end_at(tx, interval, question.sure_us, end_us)


def taken_end_us(floor: ShopFloor, question: Question, usual_us: int | None, now_us: int) -> int:
    """Return when work counts as ended of which a press says that it has, not when.

    That is when it usually ends, `usual_us`; at its last sure moment where that was later or nothing is usual.
    """
    interval = _about(floor, question)
    sure_us, before_us = _sure_us(floor, interval, question.sure_us), earliest_end(floor, interval)
    sure_us = sure_us if sure_us > before_us else before_us + MINUTE_US  # a stretch has some length
    return min(now_us, max(sure_us, usual_us) if usual_us is not None else sure_us)


def ended(tx: Transaction, question: Question, end_us: int) -> Interval:
    """End what runs by a press that says that it has ended, not when; return the part of it that ended last."""
    interval = _about(tx.floor, question)
    answered(tx, question, ENDED)
    last = _end_at(tx, interval, question.sure_us, end_us)
    return tx.change(replace(last, end_sure=Certainty.ESTIMATED))


def other_step(tx: Transaction, question: Question, step: Step, from_us: int) -> Interval:
    """Make it another step from an instant on, which still runs."""
    interval = _about(tx.floor, question)
    pieces = pieces_for(tx.floor, interval, step)
    if not pieces:
        raise Refusal(f"No piece in hand can be at {step.name.lower()}. Nothing was changed.")
    if step.kind is Kind.HANDS_ON and interval.kind is not Kind.HANDS_ON and _hands_busy(tx.floor, interval, from_us):
        raise Refusal(f"The hands were at other work then, not at {step.name.lower()}. Nothing was changed.")
    answered(tx, question, OTHER)
    note_broken(tx, step, pieces)
    guessed = _end_at(tx, interval, question.sure_us, from_us).end_sure
    begun = replace(at_step(tx, step, pieces, from_us), start_sure=guessed, work=interval.work)
    begun = replace(begun, cause_step_id=interval.cause_step_id, together=interval.together)
    begun = tx.add(replace(begun, load_id=load_for(tx, step, pieces)))
    make_sure(tx.floor, begun, tx.now_us)
    return begun


def _hands_busy(floor: ShopFloor, interval: Interval, from_us: int) -> bool:
    """Tell whether the same hands were at other work after an instant, or are."""
    ended = [floor.get(Interval, number) for number in floor.hands.ended_after(interval.maker_id, from_us)]
    others = [i for i in (*ended, *floor.running.values()) if i.maker_id == interval.maker_id and i.id != interval.id]
    return any(other.kind is Kind.HANDS_ON for other in others)


def earliest_end(floor: ShopFloor, interval: Interval) -> int:
    """Return the instant after which an interval can have ended: its start, or just before its last piece done."""
    return max([interval.start_us, *(tally.at_us - 1 for tally in floor.hands.done_in(interval))])


def other_steps(floor: ShopFloor, interval: Interval) -> tuple[Step, ...]:
    """Return the steps that it may have been instead, those after it first."""
    own = floor.find(Step, interval.step_id) if interval.step_id is not None else None
    if own is None:
        return ()
    found = [
        step
        for step in floor.steps(own.batch_id)
        if step.id != own.id
        and step.kind.attended
        and step.state is StepState.TIMED
        and pieces_for(floor, interval, step)
    ]
    return tuple(sorted(found, key=lambda step: (step.position < own.position, step.position)))


def pieces_for(floor: ShopFloor, interval: Interval, step: Step) -> tuple[int, ...]:
    """Return the pieces of an interval that can have been at another step."""
    if step.batch_id != interval.batch_id:
        return ()
    others = (i for i in floor.running.values() if i.id != interval.id and i.kind.attended)
    elsewhere = {piece for other in others for piece in other.pieces}
    kept = held_from(floor, step).keys() | elsewhere | through(floor, step.batch_id)[step.id]
    living = [floor.get(Piece, p) for p in interval.pieces]
    return tuple(p.id for p in living if p.living and not p.set_aside and p.id not in kept)


def _about(floor: ShopFloor, question: Question) -> Interval:
    interval = floor.find(Interval, question.about_id) if question.about_id is not None else None
    if interval is None or not interval.running:
        raise Refusal("That has been stopped already. Nothing was changed.")
    return interval


def _end_at(tx: Transaction, interval: Interval, sure_us: int, end_us: int) -> Interval:
    """End an interval in the past: pressed until the last sure moment, estimated from there on."""
    if not earliest_end(tx.floor, interval) < end_us <= tx.now_us:
        raise Refusal("That time lies before the last piece was done, or is still to come. Nothing was changed.")
    sure_us = _sure_us(tx.floor, interval, sure_us)
    if end_us <= sure_us:
        return tx.change(replace(tx.current(interval), end_us=end_us, end_sure=Certainty.AMENDED))
    guessed = _cut(tx, interval, sure_us) if sure_us > interval.start_us else interval
    return tx.change(replace(tx.current(guessed), end_us=end_us, end_sure=Certainty.ESTIMATED))


def _sure_us(floor: ShopFloor, interval: Interval, sure_us: int) -> int:
    """Return the last moment at which an interval surely ran: that of the question, or its last piece done."""
    return max([sure_us, *(tally.at_us for tally in floor.hands.done_in(interval))])


def _cut(tx: Transaction, interval: Interval, at_us: int) -> Interval:
    """End an interval at its last sure moment; the same stretch goes on from there."""
    ended = tx.change(replace(tx.current(interval), end_us=at_us, end_sure=Certainty.PRESSED))
    return tx.add(replace(ended, start_us=at_us, start_sure=tx.sure, end_us=None, continues_id=ended.id))
