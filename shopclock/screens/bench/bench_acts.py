"""Acts of the Bench's buttons as it stands now: the words of a button and its press are both made of these."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.screens.bench.state import Mode
from shopclock.shop.values.kinds import Kind, StepState
from shopclock.shop.work.acts import carry_on_act, next_act, start_act, stop_act, through_act
from shopclock.shop.work.begin import last_stopped

if TYPE_CHECKING:
    from shopclock.screens.bench.current_work import CurrentWork
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Interval, Step
    from shopclock.shop.work.acts import Act


@dataclass(frozen=True, slots=True)
class BenchActs:
    """Acts that the floor, the work on the plate and what was chosen for it make of the buttons.

    `chosen` are the pieces in hand, or for what will be started, `picked` by the maker or those that it would start
    with by itself; `method_id` is the method chosen for that.
    """

    floor: ShopFloor
    maker_id: int
    hand: CurrentWork
    chosen: frozenset[int]
    method_id: int | None
    now_us: int
    picked: bool = False

    def next(self) -> Act | None:
        """Return what *Next* does, or nothing where it has no use."""
        hand = self.hand
        if hand.interval is None or hand.mode not in (Mode.RUNNING, Mode.STOPPED):
            return None
        chosen = () if hand.running else tuple(self.chosen)
        return next_act(self.floor, self.maker_id, hand.interval, self.now_us, chosen)

    def through(self) -> Act | None:
        """Return what *All through* does with what was stopped."""
        if self.hand.mode is not Mode.STOPPED or self.hand.step is None:
            return None
        act = through_act(self.floor, self.hand.step, self.chosen)
        return act if act.passing else None

    def stop(self) -> Act | None:
        """Return what *Stop* ends."""
        return stop_act(self.floor, self.maker_id, self.hand.interval if self.hand.running else None)

    @property
    def stopped(self) -> Interval | None:
        """Work that *Carry on* takes up: what stands stopped on the plate, else what was stopped last."""
        if self.hand.mode is Mode.STOPPED:
            return self.hand.interval
        return next(iter(last_stopped(self.floor, self.maker_id)), None) if not self.hand.running else None

    def carry_on(self) -> Act | None:
        """Return what *Carry on* starts."""
        stopped = self.stopped
        if stopped is None:
            return None
        pieces = tuple(self.chosen) if self.hand.mode is Mode.STOPPED else ()
        return carry_on_act(self.floor, self.maker_id, stopped, self.now_us, pieces)

    def start(self, step: Step, *, together: bool = False) -> Act | None:
        """Return what a start of a step does; with the pieces and the method chosen where it stands on the plate."""
        if step.state is not StepState.TIMED:
            return None
        ours = self.hand.mode is Mode.READY and self.hand.step == step
        pieces, method_id = (tuple(self.chosen) if self.picked else (), self.method_id) if ours else ((), None)
        together = together and step.kind is Kind.HANDS_ON
        return start_act(self.floor, self.maker_id, step, self.now_us, pieces, method_id=method_id, together=together)
