"""An invented evening to be put right: two batches, a wait, a call in between, one end that was guessed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.shop.values.entities import Batch, Interval, Step
from shopclock.shop.values.kinds import Certainty, Kind
from shopclock.shop.work import acts, begin
from tests.screens.batches.story import DAY_MIN, Shop, routes

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.shop.state.transaction import Transaction

SEVEN_IN_THE_EVENING_MIN = 4 * 60 + 46
"""From the moment at which the clock of the tests begins (13:13:20 in Lisbon) to 18:00, nearly."""


class Evening(Shop):
    """A shop with the evening of one day in it, and a morning before."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        tide, oyster = self.pattern("Tide 90"), self.pattern("Oyster 70", routes()[0])
        self.first, self.second = self.batch(tide, 7), self.batch(oyster, 4)
        self.work(self.attended(self.second)[0], 50)
        self.clock.go(DAY_MIN - 50)
        self._evening()

    def attended(self, batch: Batch) -> list[Step]:
        """The steps of a batch that need somebody, in order."""
        return [step for step in self.floor.steps(batch.id) if step.kind.attended]

    def intervals(self) -> list[Interval]:
        """All of them, by start."""
        return sorted(self.floor.all(Interval), key=lambda s: (s.start_us, s.id))

    def _evening(self) -> None:
        self.clock.go(SEVEN_IN_THE_EVENING_MIN)
        steps = self.attended(self.first)
        self.start(steps[0])
        self.clock.go(47)
        self.press_on(acts.go_on)
        self.clock.go(25)
        self.record.press("Stop", begin.stop)
        self.clock.go(18)
        self.start(self.attended(self.second)[1])
        self.clock.go(35)
        wait = next(s for s in self.floor.steps(self.first.id) if s.kind is Kind.WAIT)
        self.record.press("Wait", lambda tx: begin.begin(tx, wait))
        self.clock.go(20)
        self.record.press("Stop", begin.stop)
        self._guess()

    def press_on(self, rule: object) -> None:
        """Press a rule on what runs by hand."""
        running = next(i for i in self.floor.running.values() if i.kind is Kind.HANDS_ON)
        self.record.press("Next", lambda tx: rule(tx, running))  # type: ignore[operator]  # a rule of a stretch

    def _guess(self) -> None:
        """The end of the last stretch was guessed."""
        last = max(self.floor.all(Interval), key=lambda s: (s.end_us or 0, s.id))

        def rule(tx: Transaction) -> object:
            return tx.change(replace(tx.current(last), end_sure=Certainty.ESTIMATED))

        self.record.press("Guess", rule, undoable=False)
