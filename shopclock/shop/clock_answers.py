"""What the answers about the machine's clock do."""

from shopclock.shop.errors import Refusal
from shopclock.shop.kinds import Why
from shopclock.shop.questions import NEW, OLD, SEEN, answered
from shopclock.shop.timeline import instants, move, no_longer_guessed
from shopclock.shop.turn import Turn
from shopclock.shop.values import Question

NO_ROOM = (
    "With that time, what was pressed then would not lie between what came before it and after. "
    "Nothing was moved. Choose the other time; Amend puts single times right."
)
ABOUT_CLOCK = (Why.SET, Why.BEHIND)


def put_right(turn: Turn, begins_us: int, by_us: int) -> None:
    """The time told now is right: everything since this boot began moves together, nothing of it is guessed."""
    for question in turn.floor.all(Question):
        if question.why in ABOUT_CLOCK and question.answer in ("", SEEN) and question.asked_us >= begins_us:
            answered(turn, question, NEW)
    move(turn, begins_us, by_us)
    no_longer_guessed(turn, begins_us + by_us)


def move_earlier(turn: Turn, question: Question, begins_us: int, until_us: int) -> Question:
    """The new time was right in a boot that has ended: what it left moves along.

    Refused where that would put it before what came earlier, or behind what came after.
    """
    by_us = question.shift_us or 0
    at = sorted(instants(turn.floor))
    inside = [us for us in at if begins_us <= us < until_us]
    before = max((us for us in at if us < begins_us), default=0)
    if inside and (inside[0] + by_us < before or inside[-1] + by_us > until_us):
        raise Refusal(NO_ROOM)
    move(turn, begins_us, by_us, until_us)
    return answered(turn, turn.floor.get(Question, question.id), NEW)


def as_before(turn: Turn, question: Question) -> Question:
    """The clock was right before it was set: nothing moves."""
    return answered(turn, question, OLD)
