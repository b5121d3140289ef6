"""A press that says that forgotten work has ended, and not when: the time it is taken for, and another in its place."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from shopclock.shop.recovery import answers
from shopclock.shop.recovery.forgotten import usual_end
from shopclock.shop.recovery.questions import ABOUT_WORK, open_about
from shopclock.shop.values.entities import Batch, Interval

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from shopclock.screens.bench.tiles import UsualAt
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import Question

    T = TypeVar("T")

MINUTE_US = 60_000_000
OFFERED_FOR_US = 2 * MINUTE_US
"""So long another time is offered after the press; Amend changes it later."""


@dataclass(frozen=True, slots=True)
class EndedWork:
    """Work that is asked about while a press ends it: the questions, what each is taken for, the usual among these."""

    questions: tuple[Question, ...]
    taken_us: dict[int, int]
    usual_us: dict[int, int | None]

    def rule(
        self, after: Callable[[Transaction, Interval], T], end_us: int | None = None
    ) -> Callable[[Transaction], T]:
        """Return the rule that ends all of it, at an instant or when each is taken to have, and does the rest."""

        def end(tx: Transaction) -> T:
            parts = [answers.ended(tx, q, self.taken_us[q.id] if end_us is None else end_us) for q in self.questions]
            return after(tx, parts[0])

        return end


def ended_work(floor: ShopFloor, ending: Iterable[Interval], usual_at: UsualAt, now_us: int) -> EndedWork | None:
    """Return what of these is asked about at this moment, or nothing: then its end is when the press was."""
    asked = tuple(q for i in ending if (q := open_about(floor, i)) is not None and q.why in ABOUT_WORK)
    if not asked:
        return None
    usual = {q.id: _usual_end(floor, floor.get(Interval, q.about_id or 0), usual_at) for q in asked}
    return EndedWork(asked, {q.id: answers.taken_end_us(floor, q, usual[q.id], now_us) for q in asked}, usual)


def _usual_end(floor: ShopFloor, interval: Interval, usual_at: UsualAt) -> int | None:
    """Return when an interval usually would have ended, on the minute."""
    batch = floor.find(Batch, interval.batch_id or 0)
    known = usual_at(interval.stage_id, interval.method_id, batch.pattern_id) if batch is not None else None
    at_us = usual_end(floor, interval, known)
    return at_us // MINUTE_US * MINUTE_US if at_us is not None else None


@dataclass(frozen=True, slots=True)
class EndedPress:
    """Press by which work ended nobody knows when: which, taken for when, and whether that is what is usual.

    `at_time` takes the press back and does it so that the work ended at another instant, `now` as if nothing had been
    asked: it went on until the press, and after it too where the press `goes_on`. Both are offered until an instant.
    """

    interval: Interval
    sure_us: int
    at_us: int
    usual: bool
    at_time: Callable[[int], object]
    now: Callable[[], object]
    until_us: int
    goes_on: bool = False

    @property
    def with_press(self) -> bool:
        """Tell whether it is taken to have ended with the press itself: usually it takes longer."""
        return self.at_us == self.until_us - OFFERED_FOR_US


def ended_press(
    floor: ShopFloor,
    work: EndedWork,
    now_us: int,
    after: Callable[[Transaction, Interval], T],
    plain: Callable[[Transaction], T],
    again: Callable[[Callable[[Transaction], T]], object],
    *,
    goes_on: bool,
) -> EndedPress:
    """Return what a press offers afterwards; `again` takes it back and does another rule in its place."""
    first = work.questions[0]
    at_us = work.taken_us[first.id]
    return EndedPress(
        floor.get(Interval, first.about_id or 0),
        first.sure_us,
        at_us,
        at_us == work.usual_us[first.id],
        lambda end_us: again(work.rule(after, end_us)),
        partial(again, plain),
        now_us + OFFERED_FOR_US,
        goes_on,
    )
