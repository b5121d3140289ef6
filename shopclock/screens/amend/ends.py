"""Moving the ends of a stretch, and what is in the way with them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.state.wording import time_text
from shopclock.shop.values.errors import Refusal
from shopclock.shop.work import amend
from shopclock.shop.work.day import end_meant, start_meant
from shopclock.shop.work.overlap_rules import name_of
from shopclock.views.dialogs import CLOCK, Choice
from shopclock.views.page import on_answer

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.amend.amending import Amending
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Interval


class Ends:
    """Asks for a time, and presses; where other work was under way then, asks whether it gives way."""

    def __init__(self, amending: Amending) -> None:
        self._amending = amending

    def ask_start(self, interval: Interval) -> None:
        """Type the start."""
        at = self._amending.time(interval.start_us)
        question = f"{name_of(self._amending.floor, interval)} from"
        self._amending.stack.dialogs.number(
            question, at, on_answer(lambda text: self._take_start(interval, text)), signs=CLOCK
        )

    def ask_end(self, interval: Interval) -> None:
        """Type the end."""
        at = self._amending.time(interval.end_us) if interval.end_us is not None else ""
        question = f"{name_of(self._amending.floor, interval)} till"
        self._amending.stack.dialogs.number(
            question, at, on_answer(lambda text: self._take_end(interval, text)), signs=CLOCK
        )

    def _take_start(self, interval: Interval, text: str) -> None:
        amending = self._amending
        at_us = self.understood(lambda: start_meant(interval, text, amending.now_us, amending.zone))
        if at_us is not None:
            self.move_start(interval, at_us)

    def _take_end(self, interval: Interval, text: str) -> None:
        amending = self._amending
        at_us = self.understood(lambda: end_meant(interval, text, amending.now_us, amending.zone))
        if at_us is not None:
            self.move_end(interval, at_us)

    def understood(self, meant: Callable[[], int]) -> int | None:
        """Return what a typed time means; what is none is told."""
        try:
            return meant()
        except Refusal as refused:
            self._amending.stack.dialogs.tell(str(refused))
            return None

    def move_start(self, interval: Interval, at_us: int, moment: Moment | None = None) -> None:
        """Let it have begun then."""

        def rule(tx: Transaction, *, way: bool) -> object:
            return amend.move_start(tx, interval, at_us, others_give_way=way)

        what = f"{name_of(self._amending.floor, interval)} from {self._amending.time(at_us)}"
        self._amending.bring(min(at_us, interval.start_us))
        others = amend.giving_way(self._amending.floor, interval, start_us=at_us)
        self._move(what, rule, others, moment, min(at_us, interval.start_us))

    def move_end(self, interval: Interval, at_us: int, moment: Moment | None = None) -> None:
        """Let it have ended then."""

        def rule(tx: Transaction, *, way: bool) -> object:
            return amend.move_end(tx, interval, at_us, others_give_way=way)

        what = f"{name_of(self._amending.floor, interval)} till {self._amending.time(at_us)}"
        self._amending.bring(interval.start_us)
        others = amend.giving_way(self._amending.floor, interval, end_us=at_us)
        self._move(what, rule, others, moment, interval.start_us)

    def _move(
        self,
        what: str,
        rule: Callable[..., object],
        others: tuple[Interval, ...],
        moment: Moment | None,
        since_us: int,
    ) -> None:
        amending = self._amending
        if not others:
            amending.press(what, lambda tx: rule(tx, way=False), moment, since_us)
            return

        def answered(key: str) -> None:
            if key == "way":
                amending.press(what, lambda tx: rule(tx, way=True), moment, since_us)

        choices = [Choice("way", "Yes, both", what, role="primary"), Choice("leave", "Leave it")]
        amending.stack.dialogs.ask(_in_the_way(amending, others), choices, on_answer(answered))


def _in_the_way(amending: Amending, others: tuple[Interval, ...]) -> str:
    """Say what was under way then: Saw ran from 18:40 to 19:10. Is that to be moved as well."""
    zone = amending.zone
    said = []
    for other in others:
        end = f"to {time_text(other.end_us, zone)}" if other.end_us is not None else "until now"
        said.append(f"{name_of(amending.floor, other)} ran from {time_text(other.start_us, zone)} {end}")
    return f"{' and '.join(said)}. Is that moved as well?"
