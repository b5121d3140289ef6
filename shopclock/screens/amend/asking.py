"""The questions about one stretch: its ends, which step, batch, method, who was needed and what for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.review.change_text import KIND_WORDS, WORK_WORDS
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Batch, Interval, Method, Pattern, Step
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind, WorkKind
from shopclock.shop.work import amend
from shopclock.shop.work.day import end_meant, first_after, start_meant
from shopclock.shop.work.overlap_rules import name_of
from shopclock.shop.work.piece_progress import order_of
from shopclock.views.dialogs import CLOCK, Choice
from shopclock.views.field import Number, choose, options

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.amend.amending import Amending
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.views.field import Asking

"""So many batches are offered, the newest first."""
WHO = {
    Kind.HANDS_ON: "a hand on the work",
    Kind.WATCH: "somebody beside it",
    Kind.WAIT: "nobody",
    Kind.AWAY: "it was not in the shop",
}


def newest_batches(floor: ShopFloor, but: int | None = None) -> list[tuple[Choice, Batch]]:
    """All batches but one: the open ones first, then the newest."""
    every = [batch for batch in floor.all(Batch) if batch.id != but]
    newest = sorted(every, key=lambda b: (b.closed_us is not None, -b.started_us, -b.id))
    return [(Choice(str(b.id), b.name, floor.get(Pattern, b.pattern_id).name), b) for b in newest]


def type_end(amending: Amending, interval: Interval, *, start: bool) -> Asking[None]:
    """Type the start or the end."""
    at_us = interval.start_us if start else interval.end_us
    at = amending.time(at_us) if at_us is not None else ""
    text = yield from Number(f"{name_of(amending.floor, interval)} {'from' if start else 'till'}", at, signs=CLOCK)
    meant = start_meant if start else end_meant
    yield from move(amending, interval, meant(interval, text, amending.now_us, amending.zone), start=start)


def move(
    amending: Amending, interval: Interval, at_us: int, moment: Moment | None = None, *, start: bool
) -> Asking[None]:
    """Let it have begun or ended then; where other work was under way, ask whether that gives way."""
    since_us = min(at_us, interval.start_us) if start else interval.start_us
    amending.bring(since_us)
    others = amend.giving_way(amending.floor, interval, **{"start_us" if start else "end_us": at_us})
    what = f"{name_of(amending.floor, interval)} {'from' if start else 'till'} {amending.time(at_us)}"
    if others:
        answers = ((Choice("way", "Yes, both", what, role="primary"), True), (Choice("leave", "Leave it"), False))
        if not (yield from choose(_in_the_way(amending, others), answers)):
            return
    rule = amend.move_start if start else amend.move_end
    amending.press(what, lambda tx: rule(tx, interval, at_us, others_give_way=bool(others)), moment, since_us)


def _in_the_way(amending: Amending, others: tuple[Interval, ...]) -> str:
    """Say what was under way then: Saw ran from 18:40 to 19:10. Is that to be moved as well."""
    said = []
    for other in others:
        end = f"to {amending.time(other.end_us)}" if other.end_us is not None else "until now"
        said.append(f"{name_of(amending.floor, other)} ran from {amending.time(other.start_us)} {end}")
    return f"{' and '.join(said)}. Is that moved as well?"


def split(amending: Amending, interval: Interval) -> Asking[None]:
    """Ask where to cut it in two."""
    name = name_of(amending.floor, interval)
    text = yield from Number(f"Split {name} at", signs=CLOCK)
    at_us = first_after(interval.start_us, text, amending.zone)
    what = f"Split {name} at {amending.time(at_us)}"
    amending.press(what, lambda tx: amend.split_at(tx, interval, at_us), since_us=interval.start_us)


def ask_step(
    amending: Amending, interval: Interval, batch_id: int | None = None, question: str = "Which step was it"
) -> Asking[None]:
    """Ask which step of its batch it was, or of another one."""
    steps = order_of(amending.floor, batch_id or interval.batch_id or 0).timed
    _take_step(amending, interval, (yield from choose(question, _steps(steps, interval.step_id))))


def _steps(steps: tuple[Step, ...], now: int | None) -> list[tuple[Choice, Step]]:
    return [(Choice(str(step.id), step.name, checked=step.id == now), step) for step in steps]


def _take_step(amending: Amending, interval: Interval, step: Step) -> None:
    said = amending.floor.get(Batch, step.batch_id).name
    what = step.name if step.batch_id == interval.batch_id else f"{step.name}, {said}"
    _press(amending, interval, what, lambda tx: amend.use_step(tx, interval, step))


def ask_batch(amending: Amending, interval: Interval) -> Asking[None]:
    """Ask which batch it was; the same step there, where it has one."""
    one, answers = word(amending.floor, "batch").one, newest_batches(amending.floor, interval.batch_id)
    if not answers:
        raise Refusal(f"There is no other {one}.")
    batch = yield from choose(f"Which {one} was it", answers)
    amending.stack.record.load_batch(batch.id)
    was = amending.floor.find(Step, interval.step_id or 0)
    same = [s for s in order_of(amending.floor, batch.id).timed if s.stage_id == interval.stage_id]
    named = [step for step in same if was is not None and step.name == was.name] or same
    if len(named) == 1:
        _take_step(amending, interval, named[0])
    else:
        yield from ask_step(amending, interval, batch.id, "Which step was it there")


def ask_method(amending: Amending, interval: Interval) -> Asking[None]:
    """Ask how it was worked."""
    own, now = [m for m in amending.floor.all(Method) if m.stage_id == interval.stage_id], interval.method_id
    answers: list[tuple[Choice, Method | None]] = [(Choice(str(m.id), m.name, checked=m.id == now), m) for m in own]
    method = yield from choose(
        "How was it worked", [*answers, (Choice("none", "No method", checked=now is None), None)]
    )
    said, number = (method.name.lower(), method.id) if method is not None else ("no method", None)
    _press(amending, interval, said, lambda tx: amend.use_method(tx, interval, number))


def ask_kind(amending: Amending, interval: Interval) -> Asking[None]:
    """Ask who was needed, and whether it was at once with other work by hand."""
    kinds = {kind: (KIND_WORDS[kind].capitalize(), WHO[kind]) for kind in Kind}
    answers: list[tuple[Choice, Kind | None]] = [
        (Choice(kind, *said, checked=kind is interval.kind), kind) for kind, said in kinds.items()
    ]
    if interval.kind is Kind.HANDS_ON:
        now = "it was" if interval.together else "it was not"
        answers.append((Choice("together", "Both at once", now, checked=interval.together), None))
    kind = yield from choose("Who was needed", answers)
    if kind is not None:
        _press(amending, interval, KIND_WORDS[kind], lambda tx: amend.use_kind(tx, interval, kind))
        return
    wanted = not interval.together
    said = "both at once" if wanted else "by itself"
    _press(amending, interval, said, lambda tx: amend.share_hands(tx, interval, together=wanted))


def ask_work(amending: Amending, interval: Interval) -> Asking[None]:
    """Ask what it was for; of rework, which step made it necessary."""
    works = {work: (WORK_WORDS[work].capitalize(), "") for work in WorkKind}
    work = yield from options("What was it for", works, interval.work)
    cause, what = None, WORK_WORDS[work]
    if work is WorkKind.REWORK:
        steps = order_of(amending.floor, interval.batch_id or 0).timed
        cause = yield from choose("Which step made it necessary", _steps(steps, interval.cause_step_id))
        what = f"done again, {cause.name}"
    _press(amending, interval, what, lambda tx: amend.use_work(tx, interval, work, cause))


def _press(amending: Amending, interval: Interval, what: str, rule: Callable[[Transaction], object]) -> None:
    amending.press(f"{name_of(amending.floor, interval)}: {what}", rule, since_us=interval.start_us)
