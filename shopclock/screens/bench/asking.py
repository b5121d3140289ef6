"""Asking at the Bench: shop work, readings, notes, methods, *Adjust*, and what was started in spite of the record."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.bench import texts, tiles
from shopclock.screens.bench.act_words import of_where
from shopclock.screens.bench.adjusting import options
from shopclock.screens.bench.answers import answer_rule
from shopclock.screens.bench.current_work import running_by
from shopclock.screens.bench.hands import BenchPart
from shopclock.screens.bench.plate_state import reading_button
from shopclock.screens.bench.state import Verb
from shopclock.screens.readings.asking import AskReading
from shopclock.screens.readings.noting import ask_bench_note
from shopclock.shop.routes import cure
from shopclock.shop.state.wording import when_text, zone_of
from shopclock.shop.values.entities import Interval, Maker, Method, Stage, Step
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import WorkKind
from shopclock.shop.work import adjust, begin
from shopclock.shop.work.makers import MOST_HERE, comes, goes, here, makers, name_of_maker, takes_over
from shopclock.shop.work.piece_progress import ready_at
from shopclock.views.dialogs import BELOW_ZERO, Choice
from shopclock.views.field import ask

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from enum import StrEnum

    from shopclock.screens.bench.answers import InSpite
    from shopclock.screens.bench.current_work import CurrentWork
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment


class BenchAsking(BenchPart):
    """Asks about what runs or is to be started, and puts right what was pressed otherwise than it was."""

    def warmth(self, interval_id: int, _moment: Moment | None) -> None:
        """Ask how warm the shop is, for a wait whose length follows that."""
        wait = self.floor.find(Interval, interval_id)
        if wait is not None and wait.running and cure.can_follow(self.floor, wait):
            self._ask_warmth(wait)

    def _ask_warmth(self, wait: Interval) -> None:
        """Ask how warm the shop is while a resin cures, beginning with what was told last."""
        known, step = cure.newest_c(self.floor), self.floor.get(Step, wait.step_id or 0)
        span = cure.span_text(step)
        question = f"How warm is the shop, °C or °F? The length holds for 25 °C, the figure for {span} °C"

        def take(text: str | None) -> None:
            if not text:
                return
            try:
                shop_c = cure.typed_c(text)
            except Refusal as refused:
                self.at.dialogs.tell(str(refused))
                return
            with self.at.one_change():
                if self.at.do(f"Shop at {shop_c:g} °C", lambda tx: cure.follow(tx, wait, shop_c)) is not None:
                    now_us = self.at.record.instant()
                    at_us = ready_at(self.floor, self.floor.get(Interval, wait.id)) or now_us
                    when = when_text(at_us, now_us, zone_of(self.floor))
                    self.memory.said = f"Ready {when} at {shop_c:g} °C. Its leaflet decides."

        self.at.dialogs.number(question, f"{known:g}" if known is not None else "", take, signs=BELOW_ZERO)

    def shop_work(self, _: int, moment: Moment | None) -> None:
        """Start work for the shop; ask which where it has several."""
        kinds = {str(s.id): s for s in self.floor.all(Stage) if s.shop_work and not s.put_away}

        def start(stage: Stage, moment: Moment | None = None) -> None:
            if self.at.do(f"Start {stage.name}", lambda tx: begin.begin_shop_work(tx, stage), moment) is not None:
                self.memory.look_at(None)

        if len(kinds) == 1:
            start(next(iter(kinds.values())), moment)
        elif kinds:
            choices = [Choice(key, stage.name) for key, stage in kinds.items()]
            self.at.ask("Which work for the shop", choices, lambda key: start(kinds[key]) if key else None)
        else:
            self.memory.said = "There is no work for the shop on its list yet. It is made in Shop."

    def reading(self, *_: object) -> None:  # the moment of the last answer counts
        """Ask for a reading; what is outside its limits is then said on the plate."""
        hand = self.at.hand()
        batch = self.at.batch_at_hand(hand)

        def press(what: str, rule: Callable[[Transaction], object]) -> None:
            with self.at.one_change():
                self.at.do(what, rule)

        if batch is not None:
            ask(self.at.dialogs, AskReading(self.floor, self.at.record.reads, press, batch, hand.step).whose())

    def note(self, *_: object) -> None:  # the moment of the last answer counts
        """Note something about what runs or was stopped, about the batch or one of its pieces."""
        hand = self.at.hand()
        batch, interval = self.at.batch_at_hand(hand), hand.interval

        def press(what: str, rule: Callable[[Transaction], object]) -> None:
            with self.at.one_change():
                self.at.do(what, rule)

        if batch is not None:
            name = texts.name_of(self.floor, interval) if interval is not None else batch.name
            ask(self.at.dialogs, ask_bench_note(self.floor, press, batch, interval, name))

    def who(self, *_: object) -> None:
        """Ask who comes to this bench, and who goes."""
        floor, bench, own = self.floor, self.at.record.bench, self.floor.get(Maker, self.at.maker_id)
        name, now = name_of_maker(floor, own.id), here(floor, bench)
        stops = ", ".join(of_where(floor, i) for i in running_by(floor, own.id))
        detail = f"{stops} stops" if stops else ""
        ways: dict[str, tuple[Choice, str, Callable[[Transaction], object]]] = {}
        for other in makers(floor):
            if other.id in {m.id for m in now}:
                continue
            if len(now) < MOST_HERE:
                choice = Choice(f"too {other.id}", f"{other.name} too", "half of the screen each")
                ways[choice.key] = choice, f"{other.name} comes", partial(comes, bench=bench, maker=other)
            choice = Choice(f"for {other.id}", f"{other.name} in {name}'s place", detail)
            over = partial(takes_over, bench=bench, maker=own, other=other)
            ways[choice.key] = choice, f"{other.name} for {name}", over
        if len(now) > 1:
            choice = Choice("goes", f"{name} goes", detail)
            ways[choice.key] = choice, f"{name} goes", partial(goes, bench=bench, maker=own)

        def answer(key: str | None) -> None:
            if key is not None:
                _, what, rule = ways[key]
                self.at.do(what, rule)

        self.at.ask("Who works here", [choice for choice, _, _ in ways.values()], answer)

    def batches(self, *_: object) -> None:
        """Ask which of the open batches is to be in sight."""
        choices = [Choice(str(b.id), texts.batch_text(self.floor, b)) for b in self.floor.open_batches()]
        self.at.ask("Which batch", choices, lambda key: self.memory.look_at(int(key)) if key else None)

    def methods(self, *_: object) -> None:
        """Ask which of many methods."""
        hand = self.at.hand()
        if hand.step is None:
            return
        now = hand.interval.method_id if hand.interval is not None else self.at.method_id(hand)
        methods = [m for m in self.floor.all(Method) if m.stage_id == hand.step.stage_id and not m.put_away]
        choices = [Choice(str(m.id), m.name, checked=m.id == now) for m in methods]
        self.at.ask("By which method", choices, lambda key: self.method(int(key), None) if key else None)

    def method(self, method_id: int, moment: Moment | None) -> None:
        """Go on by another method, or choose it for what will be started."""
        hand, method = self.at.hand(), self.floor.find(Method, method_id)
        interval = hand.interval
        if method is None:
            return
        if hand.running and interval is not None:
            self.at.do(f"Method {method.name}", lambda tx: adjust.use_method(tx, interval, method), moment)
        elif interval is None:
            self.memory.method_id = method.id

    def set_up(self, _: int, moment: Moment | None) -> None:
        """Go on as set-up, or end it."""
        interval = self.at.hand().interval
        if interval is None or not interval.running:
            return
        if interval.work is WorkKind.SETUP:
            self.at.do("Now running", lambda tx: adjust.now_running(tx, interval), moment)
        else:
            self.at.do("Set-up", lambda tx: adjust.set_up(tx, interval), moment)

    def adjust(self, *_: object) -> None:
        """Ask what is to be put right of what runs, or was stopped last."""
        hand = self.at.hand()
        found = {o.choice.key: o for o in options(self.floor, hand, self.at.maker_id, self.at.record.instant())}
        ways = {choice.key: (choice, act) for choice, act in self._other_ways(hand)}
        choices = [option.choice for option in found.values()] + [choice for choice, _ in ways.values()]

        def answer(key: str | None) -> None:
            if key in ways:
                ways[key][1]()
            elif key is not None:
                self.at.do(found[key].what, found[key].rule)

        self.at.ask("Adjust what runs" if hand.running else "Adjust", choices, answer)

    def _other_ways(self, hand: CurrentWork) -> Iterator[tuple[Choice, Callable[[], object]]]:
        """Yield what else is behind Adjust, whatever has room on the plate itself."""
        if reading_button(self.floor, hand.batch):
            yield Choice("reading", "Reading", "measured"), self.reading
        if self.at.batch_at_hand(hand) is not None:
            yield Choice("note", "Note", "a word about it"), self.note
        for wait in tiles.waits_of(self.floor, self.at.batch_id):
            if cure.can_follow(self.floor, wait):
                name = texts.name_of(self.floor, wait)
                yield Choice("warmth", "Shop's warmth", name), partial(self._ask_warmth, wait)
                break
        yield Choice("amend", "Amend times", "all of this day"), partial(self.at.go, "amend")

    def begun(self, asked: InSpite | None) -> Interval | None:
        """Return what was started in spite of the record, as long as nothing else was pressed since."""
        if asked is None or asked.pressed is None or self.at.record.next_undo != asked.pressed:
            return None
        found = self.floor.find(Interval, asked.interval_id)
        return found if found is not None and found.running else None

    def answer(self, verb: StrEnum, asked: InSpite | None, moment: Moment | None) -> None:
        """Put right what the record held of a tool when something was started in spite of it."""
        begun = self.begun(asked)
        if begun is None:
            return
        if verb is Verb.NOT_STARTED:
            self.at.press_undo(moment)
        elif verb is not Verb.IT_FITS:
            self.at.do(*answer_rule(self.floor, verb, begun), moment)
