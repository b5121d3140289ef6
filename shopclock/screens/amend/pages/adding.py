"""Adding what nobody timed: of which batch, which step, from when till when."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.amend.pages.interval import IntervalPage
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Batch, Interval, Pattern, Stage, Step
from shopclock.shop.values.errors import Refusal
from shopclock.shop.work.amend import add, add_shop_work
from shopclock.shop.work.day import first_after, instant_on
from shopclock.shop.work.piece_progress import order_of
from shopclock.views.dialogs import CLOCK, Choice
from shopclock.views.page import on_answer

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from shopclock.screens.amend.amending import Amending
    from shopclock.shop.state.transaction import Transaction

SHOP_WORK = "shop"
NEWEST = 12
"""So many batches are offered, the newest first."""


def ask_what(amending: Amending, day: date) -> None:
    """Ask of which batch the work was; shop work is of none."""
    floor = amending.floor
    newest = sorted(floor.all(Batch), key=lambda b: (b.closed_us is not None, -b.started_us, -b.id))[:NEWEST]
    choices = [Choice(str(b.id), b.name, floor.get(Pattern, b.pattern_id).name) for b in newest]
    choices.append(Choice(SHOP_WORK, "Shop work", f"of no {word(floor, 'batch').one}"))
    question = f"Work on which {word(floor, 'batch').one} is to be added"
    amending.stack.dialogs.ask(question, choices, on_answer(lambda key: _ask_step(amending, day, key)))


def _ask_step(amending: Amending, day: date, batch: str) -> None:
    floor = amending.floor
    if batch == SHOP_WORK:
        stages = [stage for stage in floor.all(Stage) if stage.shop_work and not stage.put_away]
        choices = [Choice(str(stage.id), stage.name) for stage in stages]
    else:
        amending.stack.record.load_batch(int(batch))
        choices = [Choice(str(step.id), step.name) for step in order_of(floor, int(batch)).timed]

    def rule(number: str, start_us: int, end_us: int) -> Callable[[Transaction], Interval]:
        if batch == SHOP_WORK:
            return lambda tx: add_shop_work(tx, tx.floor.get(Stage, int(number)), start_us, end_us)
        return lambda tx: add(tx, tx.floor.get(Step, int(number)), start_us, end_us)

    names = {choice.key: choice.label for choice in choices}
    adding = _Adding(amending, day, rule, names)
    amending.stack.dialogs.ask("What was done", choices, on_answer(adding.ask_start))


class _Adding:
    """What is known so far of the work to be added."""

    def __init__(
        self,
        amending: Amending,
        day: date,
        rule: Callable[[str, int, int], Callable[[Transaction], Interval]],
        names: dict[str, str],
    ) -> None:
        self._amending = amending
        self._day = day
        self._rule = rule
        self._names = names

    def ask_start(self, number: str) -> None:
        """Ask from when."""
        question = f"{self._names[number]} from"
        self._amending.stack.dialogs.number(
            question, "", on_answer(lambda text: self._take_start(number, text)), signs=CLOCK
        )

    def _take_start(self, number: str, text: str) -> None:
        try:
            start_us = instant_on(self._day, text, self._amending.zone)
        except Refusal as refused:
            self._amending.stack.dialogs.tell(str(refused))
            return
        question = f"{self._names[number]} from {self._amending.time(start_us)} till"
        self._amending.stack.dialogs.number(
            question, "", on_answer(lambda till: self._take(number, start_us, till)), signs=CLOCK
        )

    def _take(self, number: str, start_us: int, text: str) -> None:
        amending = self._amending
        try:
            end_us = first_after(start_us, text, amending.zone)
        except Refusal as refused:
            amending.stack.dialogs.tell(str(refused))
            return
        what = f"Added {self._names[number]}"
        made = amending.press(what, self._rule(number, start_us, end_us), since_us=start_us)
        if made is not None:
            amending.stack.open(IntervalPage(amending, made.id))
