"""What the answers about the machine's clock do."""

from shopclock.shop.kinds import Why
from shopclock.shop.questions import NEW, OLD, SEEN, answered
from shopclock.shop.timeline import move, no_longer_guessed
from shopclock.shop.turn import Turn
from shopclock.shop.values import Question

ABOUT_CLOCK = (Why.SET, Why.BEHIND)


def put_right(turn: Turn, begins_us: int, by_us: int) -> None:
    """The time told now is right: everything since this boot began moves together, nothing of it is guessed."""
    for question in turn.floor.all(Question):
        if question.why in ABOUT_CLOCK and question.answer in ("", SEEN) and question.asked_us >= begins_us:
            answered(turn, question, NEW)
    move(turn, begins_us, by_us)
    no_longer_guessed(turn, begins_us + by_us)


def as_before(turn: Turn, question: Question) -> Question:
    """The clock was right before it was set: nothing moves."""
    return answered(turn, question, OLD)
