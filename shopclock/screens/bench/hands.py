"""Hands of a maker at the Bench: what they are at, what is chosen for them, and how their presses reach the record."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from shopclock.screens.base_presenter import DrawnPresenter
from shopclock.screens.bench.bench_acts import BenchActs
from shopclock.screens.bench.current_work import Selection, current_work, running_by
from shopclock.screens.bench.ended import EndedPress, ended_press, ended_work
from shopclock.screens.bench.memory import BenchMemory
from shopclock.screens.bench.state import Mode
from shopclock.shop.state.shop_floor import Memo
from shopclock.shop.values.entities import Batch, Interval
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work import begin
from shopclock.shop.work.acts import carry_out
from shopclock.shop.work.makers import name_of_maker, several

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.screens.bench.current_work import CurrentWork
    from shopclock.screens.bench.tiles import UsualAt
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.work.acts import Act
    from shopclock.views.dialogs import Choice, Dialogs, Then

T = TypeVar("T")
ACTS: Memo[int, BenchActs] = Memo()
"""Acts of the buttons as they were drawn, of each maker by number."""


class BenchHands(DrawnPresenter):
    """The hands of one maker.

    `ended` is the last press where it said that forgotten work has ended, not when: another time is offered.
    """

    def __init__(
        self, record: Record, dialogs: Dialogs, usual_at: UsualAt, go: ShowScreen, maker_id: int | None = None
    ) -> None:
        super().__init__(record, dialogs)
        self.by_maker = maker_id
        self.usual_at = usual_at
        self.go = go
        self.ended: EndedPress | None = None
        self.memory = BenchMemory(record.instant())

    @property
    def maker_id(self) -> int:
        """The maker whose hands these are, by number."""
        return self.by_maker if self.by_maker is not None else self.record.maker.id

    def _forget(self) -> None:
        """Let go of the acts of the buttons as they were drawn."""
        self.floor.memo(ACTS).clear()

    def do(self, what: str, rule: Callable[[Transaction], T], moment: Moment | None = None) -> T | None:
        """Have the record take a press; on a refusal say why and return nothing. Nothing is chosen any more."""
        self.memory.chosen, self.memory.method_id, self.memory.none = None, None, False
        return self._press(self._by(what), rule, moment)

    def _by(self, what: str) -> str:
        """Name a press with its maker, where there are several: Undo takes back the newest, whoever made it."""
        name = name_of_maker(self.floor, self.maker_id)
        return f"{what}, {name}" if several(self.floor) and name not in what else what

    def carry_out(self, what: str, act: Act, moment: Moment | None) -> tuple[Interval, ...] | None:
        """Have the record take an act as one press; returns what began, or nothing on a refusal."""

        def rule(tx: Transaction) -> tuple[Interval, ...]:
            begun = carry_out(tx, act)
            return (begun,) if begun is not None else ()

        return self.do_ended(what, act.ends, rule, lambda tx, _: rule(tx), moment)

    def do_ended(
        self,
        what: str,
        ends: Iterable[Interval],
        rule: Callable[[Transaction], T],
        after: Callable[[Transaction, Interval], T],
        moment: Moment | None,
        *,
        goes_on: bool = False,
    ) -> T | None:
        """Have a press end what runs. What is asked about at this moment has ended, nobody knows when.

        It ends when it usually does, then `after` does the rest with the part of it that ended last; now and other
        times are offered. Where nothing is asked it is `rule` alone; `goes_on`: that ends nothing.
        """
        now_us = self.record.instant(moment)
        work = ended_work(self.floor, ends, self.usual_at, now_us)
        if work is None:
            return self.do(what, rule, moment)

        def again(other: Callable[[Transaction], T]) -> None:
            with self.one_change():
                try:
                    self.record.undo(moment)
                except ShopError as error:
                    self.dialogs.tell(str(error))
                else:
                    self.do(what, other, moment)

        self.ended = ended_press(self.floor, work, now_us, after, rule, again, goes_on=goes_on)
        newest = self.record.next_undo
        done = self.do(what, work.rule(after), moment)
        if self.record.next_undo == newest:  # it was refused
            self.ended = None
        return done

    def ask(self, question: str, choices: Sequence[Choice], then: Then) -> None:
        """Ask; what the answer changes is one change too."""

        def answer(key: str | None) -> None:
            with self.one_change():
                then(key)

        self.dialogs.ask(question, choices, answer)

    def _warn(self, warnings: Sequence[str]) -> None:
        """Order rules warn in one line on the plate; the work goes on."""
        self.memory.said = " ".join(warnings)

    def instant(self) -> int:
        """The instant it is now, in microseconds UTC."""
        return self.record.instant()

    def eye(self) -> Selection:
        """Selection: the batch chosen as long as it is open, else where the work is."""
        memory, open_ids = self.memory, [batch.id for batch in self.floor.open_batches()]
        if memory.batch_id not in open_ids:
            maker_id = self.maker_id
            worked = [*running_by(self.floor, maker_id), *begin.last_stopped(self.floor, maker_id)]
            found = next((i.batch_id for i in worked if i.batch_id in open_ids), None)
            memory.batch_id = found if found is not None else next(reversed(open_ids), None)
        return Selection(memory.batch_id, memory.step_id)

    @property
    def batch_id(self) -> int | None:
        """The batch in sight, if one is open."""
        return self.eye().batch_id

    def hand(self, now_us: int | None = None) -> CurrentWork:
        """Return what the plate is about, now or at an instant."""
        now_us = self.record.instant() if now_us is None else now_us
        return current_work(self.floor, self.maker_id, self.eye(), now_us)

    def batch_at_hand(self, hand: CurrentWork) -> Batch | None:
        """Return the batch of the work on the plate, else the one in sight."""
        return hand.batch if hand.batch is not None else self.floor.find(Batch, self.batch_id or 0)

    def _chosen(self, hand: CurrentWork) -> frozenset[int]:
        """The pieces in hand; before a start those chosen for it."""
        if self.memory.none:
            return frozenset()
        if hand.running or self.memory.chosen is None:
            return frozenset(hand.pieces)
        return self.memory.chosen & {p.id for p in (self.floor.living(hand.batch.id) if hand.batch else ())}

    def method_id(self, hand: CurrentWork) -> int | None:
        """The method of what will be started: the one chosen, else the usual one."""
        if hand.mode is not Mode.READY or hand.step is None:
            return None
        return self.memory.method_id or begin.usual_method(self.floor, hand.step)

    def acts(self, moment: Moment | None = None) -> BenchActs:
        """Acts of the buttons: those that were drawn, as long as nothing has changed since; else worked out now."""
        known = self.floor.memo(ACTS)
        return known[self.maker_id] if self.maker_id in known else self.acts_at(self.record.instant(moment))

    def acts_at(self, now_us: int) -> BenchActs:
        """Work out the acts as they are at an instant: what is drawn of them is what a press does."""
        hand = self.hand(now_us)
        acts = BenchActs(
            self.floor,
            self.maker_id,
            hand,
            self._chosen(hand),
            self.method_id(hand),
            now_us,
            picked=self.memory.chosen is not None,
        )
        self.floor.memo(ACTS)[self.maker_id] = acts
        return acts


class BenchPart:
    """A part of what one maker can press, with the hands that it is pressed for."""

    def __init__(self, at: BenchHands) -> None:
        self.at = at

    @property
    def floor(self) -> ShopFloor:
        """The shop as it is now."""
        return self.at.floor

    @property
    def memory(self) -> BenchMemory:
        """Memory of what is looked at and chosen."""
        return self.at.memory
