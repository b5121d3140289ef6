"""Answers about the machine's clock."""

from shopclock.shop.recovery.questions import NEW, OLD, SEEN, answered
from shopclock.shop.recovery.timeline import instants, move, no_longer_guessed
from shopclock.shop.state.fold import Move
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Question
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import QuestionReason

NO_ROOM = (
    "With that time, what was pressed then would not lie between what came before it and after. "
    "Nothing was moved. Choose the other time; Amend puts single times right."
)
ABOUT_CLOCK = (QuestionReason.SET, QuestionReason.BEHIND)


def put_right(tx: Transaction, moved: Move, boot_id: str) -> None:
    """The time told now is right in a boot: what is to move moves together, nothing of it is guessed."""
    move(tx, moved)
    no_longer_guessed(tx, moved.from_us + moved.by_us)
    for question in tx.floor.all(Question):
        if question.why in ABOUT_CLOCK and question.answer in ("", SEEN) and question.boot_id == boot_id:
            answered(tx, question, NEW)


def move_earlier(tx: Transaction, question: Question, moved: Move) -> Question:
    """The new time was right in a boot that has ended: what it left moves along.

    Refused where that would put it before what came earlier, or behind what came after.
    """
    at = sorted(instants(tx.floor))
    inside = [us for us in at if moved.moves(us)]
    before = max((us for us in at if us < moved.from_us), default=0)
    until_us = tx.now_us if moved.until_us is None else moved.until_us
    if inside and (inside[0] + moved.by_us < before or inside[-1] + moved.by_us > until_us):
        raise Refusal(NO_ROOM)
    move(tx, moved)
    return answered(tx, tx.floor.get(Question, question.id), NEW)


def as_before(tx: Transaction, question: Question) -> Question:
    """The clock was right before it was set: nothing moves."""
    return answered(tx, question, OLD)
