"""Answers about the machine's clock."""

from shopclock.shop.recovery.questions import NEW, OLD, SEEN, answered
from shopclock.shop.recovery.timeline import instants, move, no_longer_guessed
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Question
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import QuestionReason

NO_ROOM = (
    "With that time, what was pressed then would not lie between what came before it and after. "
    "Nothing was moved. Choose the other time; Amend puts single times right."
)
ABOUT_CLOCK = (QuestionReason.SET, QuestionReason.BEHIND)


def put_right(tx: Transaction, begins_us: int, by_us: int) -> None:
    """The time told now is right: everything since this boot began moves together, nothing of it is guessed."""
    for question in tx.floor.all(Question):
        if question.why in ABOUT_CLOCK and question.answer in ("", SEEN) and question.asked_us >= begins_us:
            answered(tx, question, NEW)
    move(tx, begins_us, by_us)
    no_longer_guessed(tx, begins_us + by_us)


def move_earlier(tx: Transaction, question: Question, begins_us: int, until_us: int) -> Question:
    """The new time was right in a boot that has ended: what it left moves along.

    Refused where that would put it before what came earlier, or behind what came after.
    """
    by_us = question.shift_us or 0
    at = sorted(instants(tx.floor))
    inside = [us for us in at if begins_us <= us < until_us]
    before = max((us for us in at if us < begins_us), default=0)
    if inside and (inside[0] + by_us < before or inside[-1] + by_us > until_us):
        raise Refusal(NO_ROOM)
    move(tx, begins_us, by_us, until_us)
    return answered(tx, tx.floor.get(Question, question.id), NEW)


def as_before(tx: Transaction, question: Question) -> Question:
    """The clock was right before it was set: nothing moves."""
    return answered(tx, question, OLD)
