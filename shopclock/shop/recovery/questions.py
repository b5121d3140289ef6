"""Questions on the whole screen, as rows: made, still open, answered."""

from dataclasses import replace

from shopclock.shop.state.shop_floor import ShopFloor, unbroken
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Interval, Question
from shopclock.shop.values.kinds import QuestionReason

ABOUT_WORK = (QuestionReason.POWER, QuestionReason.SLEPT, QuestionReason.STILL)
"""The reasons that ask when what runs was stopped."""
ASKED = "Asked"
"""What a press of the program's own is called that asks."""
YES = "yes"
SEEN = "seen"
NEW, OLD = "new", "old"


def ask(
    tx: Transaction,
    why: QuestionReason,
    interval: Interval | None,
    sure_us: int,
    *,
    boot_id: str = "",
    shift_us: int | None = None,
) -> Question:
    """Put a question; `sure_us` is the last moment that it leaves no doubt about."""
    return tx.add(
        Question(
            why=why,
            about_id=interval.id if interval is not None else None,
            asked_us=tx.now_us,
            sure_us=sure_us,
            boot_id=boot_id,
            shift_us=shift_us,
        )
    )


def answered(tx: Transaction, question: Question, answer: str) -> Question:
    """Note an answer."""
    return tx.change(replace(tx.current(question), answered_us=tx.now_us, answer=answer))


def seen(tx: Transaction, interval: Interval, ready_us: int) -> Question:
    """Note that somebody has seen that a wait is over."""
    return answered(tx, ask(tx, QuestionReason.OVER, interval, ready_us), SEEN)


def was_seen(floor: ShopFloor, interval: Interval, ready_us: int) -> bool:
    """Tell whether somebody has seen that this wait is over, since it was ready; a split is the same wait."""
    same = {part.id for part in unbroken(floor, interval)}
    return any(
        q.about_id in same and q.why is QuestionReason.OVER and q.asked_us >= ready_us for q in floor.all(Question)
    )


def heard_us(floor: ShopFloor, interval: Interval) -> int:
    """Return when an interval was last heard of: its start, a piece done in it, or a yes."""
    yes = (q.answered_us for q in floor.all(Question) if q.about_id == interval.id and q.answer == YES)
    done = (tally.at_us for tally in floor.hands.done_in(interval))
    return max(interval.start_us, *done, *(at for at in yes if at is not None), interval.start_us)


def open_questions(floor: ShopFloor) -> tuple[Question, ...]:
    """Return the questions that wait for an answer, oldest first.

    One about work that was stopped, or heard of since, has answered itself. Another bench asks its own.
    """
    unanswered = (q for q in floor.all(Question) if q.answered_us is None and floor.made_here(q))
    return tuple(q for q in unanswered if q.why not in ABOUT_WORK or _matters(floor, q))


def open_about(floor: ShopFloor, interval: Interval) -> Question | None:
    """Return the question about this interval that waits for an answer, or nothing."""
    return next((q for q in open_questions(floor) if q.about_id == interval.id), None)


def _matters(floor: ShopFloor, question: Question) -> bool:
    interval = floor.find(Interval, question.about_id) if question.about_id is not None else None
    return interval is not None and interval.running and heard_us(floor, interval) <= question.asked_us


def last_answer_us(floor: ShopFloor, boot_id: str) -> int:
    """Return when it was last said which clock is right in a boot; 0 where it never was."""
    told = (q for q in floor.all(Question) if q.boot_id == boot_id and q.answer in (NEW, OLD))
    return max((q.answered_us or 0 for q in told), default=0)


def furthest_set(floor: ShopFloor, boot_id: str) -> int:
    """Return by how many microseconds at most the machine's clock was set in a boot: so far may move what it left."""
    return max((abs(q.shift_us or 0) for q in floor.all(Question) if q.boot_id == boot_id), default=0)


def guessing(floor: ShopFloor, boot_id: str) -> bool:
    """Tell whether this boot's instants are guessed: its clock was behind and was not put right."""
    return any(q.why is QuestionReason.BEHIND and q.boot_id == boot_id and q.answer != NEW for q in floor.all(Question))
