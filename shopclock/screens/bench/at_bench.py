"""Makers at this bench: a presenter for each, those in sight, and the one whose presses were last."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench.presenter import BenchPresenter
from shopclock.shop.state.keys import ELSEWHERE, RIGHT, action_of
from shopclock.shop.work.makers import here, name_of_maker

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.screens.bench.ended import EndedPress
    from shopclock.shop.figures.trend_rows import Usual
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Step
    from shopclock.views.dialogs import Dialogs

    UsualOfMaker = Callable[[int, int | None, int | None, int], Usual | None]
    """What is usual at a stage by a method for a pattern with a maker, each by its number."""


class AtBench:
    """Presenters of the makers at this bench, each made when its maker first comes.

    What doesn't say whose it is (an alarm's row, a start from another screen) is for `front`, who pressed last.
    """

    def __init__(self, record: Record, dialogs: Dialogs, usual_of: UsualOfMaker, go: ShowScreen) -> None:
        self.record = record
        self._make: Callable[[int], BenchPresenter] = lambda number: BenchPresenter(
            record, dialogs, lambda stage, method, pattern: usual_of(stage, method, pattern, number), go, number
        )
        self._made: dict[int, BenchPresenter] = {}
        self._listeners: list[Callable[[], None]] = []

    @property
    def floor(self) -> ShopFloor:
        """The shop as it is now."""
        return self.record.floor

    @property
    def shown(self) -> tuple[BenchPresenter, ...]:
        """Presenters of those at this bench, from left to right."""
        found = tuple(self.of(maker.id) for maker in here(self.floor, self.record.bench))
        for presenter in found:
            presenter.half = len(found) > 1
        return found

    def of(self, maker_id: int) -> BenchPresenter:
        """Return the presenter of a maker."""
        if maker_id not in self._made:
            made = self._made[maker_id] = self._make(maker_id)
            for listener in self._listeners:
                made.on_change(listener)
        return self._made[maker_id]

    @property
    def front(self) -> BenchPresenter:
        """The maker at this bench who pressed last."""
        return max(self.shown, key=lambda presenter: presenter.memory.pressed_us)

    def whose(self, maker_id: int | None) -> BenchPresenter:
        """Return the presenter of a maker who is here, else of who pressed last."""
        return next((presenter for presenter in self.shown if presenter.maker_id == maker_id), self.front)

    @property
    def maker_id(self) -> int:
        """The maker who pressed last, by number."""
        return self.front.maker_id

    @property
    def front_names(self) -> str:
        """Name of the maker who pressed last; empty where one works alone."""
        return name_of_maker(self.floor, self.front.maker_id) if len(self.shown) > 1 else ""

    def turn_front(self) -> None:
        """Have the next of those who are here in front."""
        shown = self.shown
        now = shown.index(self.front)
        last_us = max(presenter.memory.pressed_us for presenter in shown)
        shown[(now + 1) % len(shown)].memory.pressed_us = last_us + 1

    @property
    def pressing(self) -> bool:
        """True until all that a press changes is done."""
        return any(presenter.pressing for presenter in self._made.values())

    @property
    def on_plate(self) -> bool:
        """True if the plates are what the Bench shows, no page behind one."""
        return all(presenter.on_plate for presenter in self.shown)

    @property
    def keep_awake(self) -> bool:
        """True if the screen has to stay on for anybody."""
        return any(presenter.keep_awake for presenter in self.shown)

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys and pedals that do something here."""
        return self.shown[0].keys

    @property
    def ended(self) -> EndedPress | None:
        """The last press of anybody's that said that forgotten work has ended, not when."""
        return next((presenter.ended for presenter in self._made.values() if presenter.ended is not None), None)

    @ended.setter
    def ended(self, ended: EndedPress | None) -> None:
        for presenter in self._made.values():
            presenter.ended = ended

    def on_change(self, listener: Callable[[], None]) -> None:
        """Call this when something is to be drawn again, whoever pressed."""
        self._listeners.append(listener)
        for presenter in self._made.values():
            presenter.on_change(listener)

    def instant(self) -> int:
        """The instant it is now, in microseconds UTC."""
        return self.record.instant()

    def begin(self, step: Step, pieces: tuple[int, ...], moment: Moment | None) -> bool:
        """Start a step for another screen, by the hands that pressed last."""
        return self.front.begin(step, pieces, moment)

    def key(self, name: str, moment: Moment | None = None) -> str:
        """Do what a key or pedal is for, with the hands of the one on the left unless it is for the right.

        Returns why it did nothing; empty where it did, or is for nothing. Then the far views give way, which cover
        where that is said.
        """
        action = action_of(self.floor, name)
        if action is None or action in ELSEWHERE:
            return ""
        shown = self.shown
        whose = shown[-1] if action.startswith(RIGHT) else shown[0]
        why_not = whose.act(action.removeprefix(RIGHT), moment)
        if why_not:
            self.wake(moment)
            whose.changed()
        return why_not

    def wake(self, moment: Moment | None = None) -> None:
        """Somebody is there: the far views give way."""
        for presenter in self.shown:
            presenter.wake(moment)

    def show_batch(self, batch_id: int) -> None:
        """Have this batch in sight of who pressed last."""
        self.front.show_batch(batch_id)

    @property
    def batch_id(self) -> int | None:
        """The batch in sight of who pressed last."""
        return self.front.batch_id
