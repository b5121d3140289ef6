"""Presenter of the Bench. Plain Python: buttons, keys, pedals and tests press the same.

The way of a press: `press` looks its verb up in `_verbs`, that method changes what is remembered or has `do` give a
rule to the record, and when all is done the listeners are told once; they draw `state`.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Protocol, TypeVar

from shopclock.screens.base_presenter import BasePresenter
from shopclock.screens.bench import texts, tiles
from shopclock.screens.bench.act_words import of_where, said, start_name
from shopclock.screens.bench.adjusting import options
from shopclock.screens.bench.answers import ANSWERS, InSpite, answer_rule, answers
from shopclock.screens.bench.bench_acts import BenchActs
from shopclock.screens.bench.current_work import Selection, chain, current_work, letters_choose, running_by
from shopclock.screens.bench.ended import EndedPress, ended_press, ended_work
from shopclock.screens.bench.not_right import NotRight
from shopclock.screens.bench.plate_state import PlateMaker, done_here, reading_button, summary, with_caution
from shopclock.screens.bench.state import BenchPage, BenchState, Mode, RoutePage, SideState, Verb
from shopclock.screens.plan.instead import Instead
from shopclock.screens.readings.asking import AskReading
from shopclock.screens.readings.noting import ask_bench_note
from shopclock.shop.figures.derive import marked_together, stretch_us
from shopclock.shop.routes import cure
from shopclock.shop.state import settings
from shopclock.shop.state.keys import action_of
from shopclock.shop.state.shop_floor import Memo
from shopclock.shop.state.wording import clock_text, minutes_text, time_text, when_text, zone_of
from shopclock.shop.values.entities import Batch, Interval, Key, Leaving, Method, Piece, Stage, Step
from shopclock.shop.values.errors import Refusal, ShopError
from shopclock.shop.values.kinds import WorkKind
from shopclock.shop.work import adjust, batches, begin, finish, pieces
from shopclock.shop.work.acts import carry_out, out_act, start_act, stop_act
from shopclock.shop.work.loads import blocked, fits, one_load, wait_sentence
from shopclock.shop.work.order_rules import running_out
from shopclock.shop.work.piece_progress import held_from, over, ready_at
from shopclock.views.button import Button, Press
from shopclock.views.dialogs import BELOW_ZERO, Choice
from shopclock.views.field import ask

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence
    from enum import StrEnum

    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.screens.bench.current_work import CurrentWork
    from shopclock.screens.bench.tiles import UsualAt
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.work.acts import Act
    from shopclock.views.dialogs import Dialogs, Then

T = TypeVar("T")
SECOND_US = 1_000_000
STALE_US = 10 * SECOND_US
"""How old minutes, waits and ready work on the screen can be. The clock is drawn each second."""
OFFERED_FOR_US = 10 * SECOND_US
"""So long a letter offers to take its mark back."""
ASIDE_OFFERED_FOR_US = 60 * SECOND_US
"""So long the letter of a piece that was set aside says that it was not in hand."""
SAID_FOR_US = 15 * 60 * SECOND_US
"""So long a line stands on the plate, unless the next press comes sooner."""
STOPPED_FOR_US = 3 * SECOND_US
"""So long after Stop its place takes nothing: who is unsure presses twice."""
KEYS_DO: dict[str, tuple[str, ...]] = {
    "done": (Verb.DONE, Verb.THROUGH),
    "stop": (Verb.STOP, Verb.CARRY_ON),
    "next": (Verb.NEXT, Verb.START),
    "undo": (Verb.UNDO,),
    "put_back": (Verb.PUT_BACK,),
    "through": (Verb.THROUGH,),
    "set_up": (Verb.SET_UP,),
    "not_right": (Verb.NOT_RIGHT,),
    "reading": (Verb.READING,),
    "adjust": (Verb.ADJUST,),
    "shop_work": (Verb.SHOP_WORK,),
    "route": (Verb.ROUTE_PAGE,),
    "pieces": (Verb.PIECES_PAGE,),
    "back": (Verb.BACK,),
}
"""Verbs that keys and pedals press: the first button of these that is there and takes a press."""


@dataclass(frozen=True, slots=True)
class Offer:
    """Offer of a letter to take something back: of which piece, its word, what it does, until when."""

    piece_id: int
    word: str
    take: Callable[[Moment | None], object]
    until_us: int


@dataclass(slots=True)
class BenchMemory:
    """Memory of what was looked at and chosen; nothing of it is in the record.

    `step_id` is the running step asked for, `chosen` the pieces and `method_id` the method for what
    will be started, `none` that *None* was pressed and a letter has to follow, `both` that the next
    start stops nothing, `said` the line that says something for a while, `touched_us` the last press, `stopped_us`
    the last Stop, `in_spite` what was started though its tool was full or set otherwise, `offer` what a letter takes
    back for now.
    """

    touched_us: int
    batch_id: int | None = None
    step_id: int | None = None
    page: BenchPage = BenchPage.BENCH
    chosen: frozenset[int] | None = None
    method_id: int | None = None
    none: bool = False
    both: bool = False
    said: str = ""
    stopped_us: int | None = None
    in_spite: InSpite | None = None
    offer: Offer | None = None

    def look_at(self, batch_id: int | None) -> None:
        """Have a batch in sight, on the first page, with nothing chosen; shop work leaves the batch in sight."""
        if batch_id is not None:
            self.batch_id = batch_id
        self.step_id, self.page, self.both = None, BenchPage.BENCH, False
        self.chosen, self.method_id, self.none = None, None, False

    def said_now(self, now_us: int) -> str:
        """Line that has to be said now: one about a press is no news to whoever comes back later."""
        return self.said if now_us - self.touched_us < SAID_FOR_US else ""


_ACTS: Memo[None, BenchActs] = Memo()


class Begin(Protocol):
    """Starts a step with pieces, for another screen."""

    def __call__(self, step: Step, pieces: tuple[int, ...], moment: Moment | None, /) -> bool:
        """Start it; tells whether it was."""


class BenchPresenter(BasePresenter):
    """The Bench. `pressing` is set until all that a press changes is done: nothing is to be drawn before.

    `ended` is the last press where it said that forgotten work has ended, not when: another time is offered.
    """

    def __init__(self, record: Record, dialogs: Dialogs, usual_at: UsualAt, go: ShowScreen) -> None:
        super().__init__(record, dialogs)
        self.pressing = False
        self.ended: EndedPress | None = None
        self._usual_at = usual_at
        self._go = go
        self._listeners: list[Callable[[], None]] = []
        self._opened_us = record.instant()
        self._memory = BenchMemory(self._opened_us)
        self._clock: tuple[int, int, int | None] | None = None
        self._fresh_until_us = 0
        self._verbs: dict[str, Callable[[int, Moment | None], object]] = {
            Verb.START: self._start,
            Verb.START_BOTH: self._start_both,
            Verb.WARMTH: self._warmth,
            Verb.OUT: self._out,
            Verb.LOAD_IN: self._load_in,
            Verb.STOP: self._stop,
            Verb.STOP_ALL: self._stop_all,
            Verb.CARRY_ON: self._carry_on,
            Verb.NEXT: self._next,
            Verb.DONE: self._done,
            Verb.THROUGH: self._through,
            Verb.SHOP_WORK: self._shop_work,
            Verb.LETTER: self._letter,
            Verb.IN_OUT: self._in_out,
            Verb.SLEEVE: self._sleeve,
            Verb.ALL: self._all,
            Verb.NONE: self._none,
            Verb.OTHERS: self._others,
            Verb.NOT_RIGHT: self._not_right,
            Verb.READING: self._reading,
            Verb.NOTE: self._note,
            Verb.BATCH: lambda number, _: self._memory.look_at(number),
            Verb.BATCHES: self._batches,
            Verb.SHOW: self._show,
            Verb.ROUTE_PAGE: lambda *_: self._turn_to(BenchPage.ROUTE),
            Verb.PIECES_PAGE: lambda *_: self._turn_to(BenchPage.PIECES),
            Verb.BACK: lambda *_: self._turn_to(BenchPage.BENCH),
            Verb.BOTH: self._both,
            Verb.METHOD: self._method,
            Verb.METHODS: self._methods,
            Verb.SET_UP: self._set_up,
            Verb.ADJUST: self._adjust,
            Verb.UNDO: lambda _, moment: self.press_undo(moment),
            Verb.PUT_BACK: lambda _, moment: self.press_put_back(moment),
            Verb.CLOSE: self._close,
            Verb.TO_BATCHES: lambda *_: go("batches"),
            Verb.TO_ROUTES: lambda *_: go("copy"),
        }

    # The way in, and the way to the record

    def press(self, press: Press, moment: Moment | None = None) -> None:
        """Do what a button says, at the moment the finger came down."""
        memory = self._memory
        memory.said, memory.touched_us = "", self.record.instant(moment)
        offer, memory.offer, self.ended = memory.offer, None, None
        asked, memory.in_spite = memory.in_spite, None
        with self._one_change():
            if press.verb in ANSWERS:
                self._answer(press.verb, asked, moment)
            elif press.verb is Verb.LETTER and offer is not None and offer.piece_id == press.number:
                take = offer.take if memory.touched_us < offer.until_us else partial(self._letter, press.number)
                take(moment)
            else:
                self._verbs[press.verb](press.number, moment)
            if press.verb is not Verb.NONE:
                memory.none = False

    def key(self, name: str, moment: Moment | None = None) -> bool:
        """Do what a key or pedal of this name is for; tell whether it is for anything here."""
        action = action_of(self.floor, name)
        if action is None:
            return False
        state = self.state(self.record.instant(moment))
        found = next((b for b in _by_key(state, action, self.batch_id) if b.enabled), None)
        if found is not None and isinstance(found.key, Press):
            self.press(found.key, moment)
        return True

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys and pedals that do something here."""
        return tuple(dict.fromkeys(key.key for key in self.floor.all(Key)))

    def wake(self, moment: Moment | None = None) -> None:
        """Somebody is there: the far view gives way."""
        now_us = self.record.instant(moment)
        self._memory.said, self._memory.touched_us = self._memory.said_now(now_us), now_us

    def show_batch(self, batch_id: int) -> None:
        """Have this batch in sight."""
        self._memory.look_at(batch_id)
        self.floor.memo(_ACTS).clear()

    def begin(self, step: Step, pieces: tuple[int, ...], moment: Moment | None) -> bool:
        """Start a step with these pieces for another screen; comes in sight where something speaks against it."""
        memory = self._memory
        memory.said, memory.touched_us, memory.in_spite = "", self.record.instant(moment), None
        act = start_act(self.floor, self.record.maker.id, step, memory.touched_us, pieces)
        with self._one_change():
            begun = act is not None and self._begin(step, act, moment)
        if act is not None and act.in_spite is not None:
            self._go("bench")
        return begun

    def on_change(self, listener: Callable[[], None]) -> None:
        """Call this when something is to be drawn again."""
        self._listeners.append(listener)

    @contextmanager
    def _one_change(self) -> Iterator[None]:
        """Tell who draws once of all that is changed meanwhile, whether the record or what is remembered."""
        if self.pressing:
            yield
            return
        self.pressing = True
        try:
            yield
        finally:
            self.pressing = False
            self.floor.memo(_ACTS).clear()
        for listener in self._listeners:
            listener()

    def _do(self, what: str, rule: Callable[[Transaction], T], moment: Moment | None = None) -> T | None:
        """Have the record take a press; on a refusal say why and return nothing. Nothing is chosen any more."""
        self._memory.chosen, self._memory.method_id, self._memory.none = None, None, False
        return self._press(what, rule, moment)

    def _carry_out(self, what: str, act: Act, moment: Moment | None) -> tuple[Interval, ...] | None:
        """Have the record take an act as one press; returns what began, or nothing on a refusal."""

        def rule(tx: Transaction) -> tuple[Interval, ...]:
            begun = carry_out(tx, act)
            return (begun,) if begun is not None else ()

        return self._do_ended(what, act.ends, rule, lambda tx, _: rule(tx), moment)

    def _do_ended(
        self,
        what: str,
        ends: Iterable[Interval],
        rule: Callable[[Transaction], T],
        after: Callable[[Transaction, Interval], T],
        moment: Moment | None,
    ) -> T | None:
        """Have a press end what runs. What is asked about at this moment has ended, nobody knows when.

        It ends when it usually does, then `after` does the rest with the part of it that ended last; now and other
        times are offered. Where nothing is asked it is `rule` alone.
        """
        now_us = self.record.instant(moment)
        work = ended_work(self.floor, ends, self._usual_at, now_us)
        if work is None:
            return self._do(what, rule, moment)

        def again(other: Callable[[Transaction], T]) -> None:
            with self._one_change():
                try:
                    self.record.undo(moment)
                except ShopError as error:
                    self.dialogs.tell(str(error))
                else:
                    self._do(what, other, moment)

        self.ended = ended_press(self.floor, work, now_us, after, rule, again)
        newest = self.record.next_undo
        done = self._do(what, work.rule(after), moment)
        if self.record.next_undo == newest:  # it was refused
            self.ended = None
        return done

    def _ask(self, question: str, choices: Sequence[Choice], then: Then) -> None:
        """Ask; what the answer changes is one change too."""

        def answer(key: str | None) -> None:
            with self._one_change():
                then(key)

        self.dialogs.ask(question, choices, answer)

    def _warn(self, warnings: Sequence[str]) -> None:
        """Order rules warn in one line on the plate; the work goes on."""
        self._memory.said = " ".join(warnings)

    # What is in hand

    def _eye(self) -> Selection:
        """Selection: the batch chosen as long as it is open, else where the work is."""
        memory, open_ids = self._memory, [batch.id for batch in self.floor.open_batches()]
        if memory.batch_id not in open_ids:
            maker_id = self.record.maker.id
            worked = [*running_by(self.floor, maker_id), *begin.last_stopped(self.floor, maker_id)]
            found = next((i.batch_id for i in worked if i.batch_id in open_ids), None)
            memory.batch_id = found if found is not None else next(reversed(open_ids), None)
        return Selection(memory.batch_id, memory.step_id)

    @property
    def batch_id(self) -> int | None:
        """The batch in sight, if one is open."""
        return self._eye().batch_id

    def _hand(self, now_us: int | None = None) -> CurrentWork:
        now_us = self.record.instant() if now_us is None else now_us
        return current_work(self.floor, self.record.maker.id, self._eye(), now_us)

    def _batch_at_hand(self, hand: CurrentWork) -> Batch | None:
        return hand.batch if hand.batch is not None else self.floor.find(Batch, self.batch_id or 0)

    def _chosen(self, hand: CurrentWork) -> frozenset[int]:
        """The pieces in hand; before a start those chosen for it."""
        if self._memory.none:
            return frozenset()
        if hand.running or self._memory.chosen is None:
            return frozenset(hand.pieces)
        return self._memory.chosen & {p.id for p in (self.floor.living(hand.batch.id) if hand.batch else ())}

    def _method_id(self, hand: CurrentWork) -> int | None:
        """The method of what will be started: the one chosen, else the usual one."""
        if hand.mode is not Mode.READY or hand.step is None:
            return None
        return self._memory.method_id or begin.usual_method(self.floor, hand.step)

    def _acts(self, moment: Moment | None = None) -> BenchActs:
        """Acts of the buttons: those that were drawn, as long as nothing has changed since; else worked out now."""
        found = self.floor.memo(_ACTS)
        return found[None] if None in found else self._acts_at(self.record.instant(moment))

    def _acts_at(self, now_us: int) -> BenchActs:
        """Work out the acts as they are at an instant: what is drawn of them is what a press does."""
        hand = self._hand(now_us)
        acts = BenchActs(
            self.floor,
            self.record.maker.id,
            hand,
            self._chosen(hand),
            self._method_id(hand),
            now_us,
            picked=self._memory.chosen is not None,
        )
        self.floor.memo(_ACTS)[None] = acts
        return acts

    def _just_stopped(self, now_us: int) -> bool:
        stopped_us = self._memory.stopped_us
        return stopped_us is not None and 0 <= now_us - stopped_us < STOPPED_FOR_US

    # What starts, stops and goes on

    def _start(self, step_id: int, moment: Moment | None) -> None:
        self._carry_out_start(step_id, moment, together=self._memory.both)

    def _start_both(self, step_id: int, moment: Moment | None) -> None:
        self._carry_out_start(step_id, moment, together=True)

    def _carry_out_start(self, step_id: int, moment: Moment | None, *, together: bool) -> None:
        step = self.floor.find(Step, step_id)
        act = self._acts(moment).start(step, together=together) if step is not None else None
        if step is not None and act is None:
            self._memory.said = f"No {step.name.lower()} left to do in this batch. Nothing was started."
        if step is None or act is None:
            return
        self._begin(step, act, moment)

    def _begin(self, step: Step, act: Act, moment: Moment | None) -> bool:
        """Carry a start out; ask about what it was done in spite of."""
        begun = self._carry_out(start_name(act, step), act, moment)
        if begun is None:
            return False
        self._memory.look_at(step.batch_id)
        if begun and begun[0].work is WorkKind.REWORK:
            self._memory.said = f"{texts.letters_text(self.floor, begun[0].pieces)} again, as rework."
        if begun and act.in_spite is not None:
            self._memory.in_spite = InSpite(begun[0].id, act.in_spite, self.record.next_undo)
        return True

    def _out(self, interval_id: int, moment: Moment | None) -> None:
        """Take a load out, before its time too."""
        floor, interval = self.floor, self.floor.find(Interval, interval_id)
        if interval is None or not interval.running:
            return
        now_us = self.record.instant(moment)
        act = out_act(one_load(floor, interval, now_us))
        early = [one for one in act.comes_out if not over(floor, one, now_us)]
        said = texts.early_text(floor, early, now_us) if early else ""
        if self._carry_out(f"Out: {texts.name_of(floor, interval)}", act, moment) is not None:
            self._memory.said = said

    def _warmth(self, interval_id: int, _moment: Moment | None) -> None:
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
                self.dialogs.tell(str(refused))
                return
            with self._one_change():
                if self._do(f"Shop at {shop_c:g} °C", lambda tx: cure.follow(tx, wait, shop_c)) is not None:
                    now_us = self.record.instant()
                    at_us = ready_at(self.floor, self.floor.get(Interval, wait.id)) or now_us
                    when = when_text(at_us, now_us, zone_of(self.floor))
                    self._memory.said = f"Ready {when} at {shop_c:g} °C. Its leaflet decides."

        self.dialogs.number(question, f"{known:g}" if known is not None else "", take, signs=BELOW_ZERO)

    def _load_in(self, step_id: int, moment: Moment | None) -> None:
        """Put more of what is ready into the load that is worked, as many as there is room for."""
        floor, now_us = self.floor, self.record.instant(moment)
        running = next((i for i in running_by(floor, self.record.maker.id) if i.step_id == step_id), None)
        if running is None:
            return
        step, more = floor.get(Step, step_id), tiles.more_ready(floor, running, now_us)
        found, going = blocked(floor, step, more, (), now_us), fits(floor, step, more)
        if not going and found is not None:
            self._memory.said = wait_sentence(floor, found, now_us)
        elif going:
            wanted = (*running.pieces, *more)
            self._do(f"Load {len(going)} in: {step.name}", lambda tx: pieces.cover(tx, running, wanted), moment)

    def _stop(self, _: int, moment: Moment | None) -> None:
        """Stop by hand what is by hand, a watch on the plate alone; say what is still on."""
        acts = self._acts(moment)
        self._end(acts.stop() if acts.hand.running else None, acts.hand.batch, moment)

    def _stop_all(self, _: int, moment: Moment | None) -> None:
        """Stop all that runs by hand, or what is watched where nothing does, whatever is on the plate."""
        self._end(stop_act(self.floor, self.record.maker.id, None), self._acts(moment).hand.batch, moment)

    def _end(self, act: Act | None, batch: Batch | None, moment: Moment | None) -> None:
        if act is None or self._carry_out("Stop", act, moment) is None:
            return
        self._memory.stopped_us = now_us = self.record.instant(moment)
        if batch is not None:
            self._memory.look_at(batch.id)
        floor = self.floor
        on = [*running_by(floor, self.record.maker.id), *tiles.waits_of(floor)]
        if on:
            more = f", and {len(on) - 1} more" if len(on) > 1 else ""
            self._memory.said = f"{texts.on_text(floor, on[0], now_us)}{texts.in_tool_text(floor, on[0])}{more}."

    def _carry_on(self, _: int, moment: Moment | None) -> None:
        """Carry on with what the button names, and with that alone; just after Stop its place takes nothing."""
        acts = self._acts(moment)
        act, stopped = acts.carry_on(), acts.stopped
        if act is None or stopped is None or self._just_stopped(self.record.instant(moment)):
            return
        if self._carry_out(f"Carry on: {texts.name_of(self.floor, stopped)}", act, moment) is not None:
            self._memory.look_at(stopped.batch_id)

    def _next(self, _: int, moment: Moment | None) -> None:
        acts = self._acts(moment)
        act, interval = acts.next(), acts.hand.interval
        if act is None or act.at is None or interval is None:
            return
        what = f"Next: {act.starts.name}" if act.starts is not None else f"{act.at.name} through"
        self._carry_out(what, act, moment)
        self._memory.look_at(interval.batch_id)

    def _done(self, _: int, moment: Moment | None) -> None:
        hand = self._hand()
        interval, title = hand.interval, tiles.done_title(self.floor, hand)
        if interval is not None and title:
            marked = self._do_ended(
                title, [interval], lambda tx: finish.one_done(tx, interval), finish.one_done, moment
            )
            if marked is not None:
                self._say_shared(interval, marked)

    def _through(self, _: int, moment: Moment | None) -> None:
        act = self._acts(moment).through()
        if act is not None and act.at is not None:
            self._carry_out(f"{act.at.name} through", act, moment)

    def _shop_work(self, _: int, moment: Moment | None) -> None:
        kinds = {str(s.id): s for s in self.floor.all(Stage) if s.shop_work and not s.put_away}

        def start(stage: Stage, moment: Moment | None = None) -> None:
            if self._do(f"Start {stage.name}", lambda tx: begin.begin_shop_work(tx, stage), moment) is not None:
                self._memory.look_at(None)

        if len(kinds) == 1:
            start(next(iter(kinds.values())), moment)
        elif kinds:
            choices = [Choice(key, stage.name) for key, stage in kinds.items()]
            self._ask("Which work for the shop", choices, lambda key: start(kinds[key]) if key else None)
        else:
            self._memory.said = "There is no work for the shop on its list yet. It is made in Shop."

    # Who is in hand

    def _letter(self, piece_id: int, moment: Moment | None) -> None:
        """A letter says that its piece is through what has begun by hand; else it chooses who goes in."""
        hand, piece = self._hand(), self.floor.find(Piece, piece_id)
        held = held_from(self.floor, hand.step, self.record.instant(moment)) if hand.step is not None else {}
        chooses = (
            piece is None or not piece.living or piece.set_aside or (piece_id in held and piece_id not in hand.pieces)
        )
        if chooses or letters_choose(self.floor, hand):
            self._in_out(piece_id, moment)
        elif piece is not None and hand.step is not None and piece.id in done_here(self.floor, hand):
            self._say_through(hand.step, piece, moment)
        elif piece is not None and hand.interval is not None and piece.batch_id == hand.interval.batch_id:
            self._mark(hand.interval, piece, moment)

    def _mark(self, interval: Interval, piece: Piece, moment: Moment | None) -> None:
        """Mark a piece as through; say what its press can't show by itself."""

        def mark(tx: Transaction, interval: Interval = interval) -> Piece:
            return finish.one_done(tx, interval, piece)

        if self._do_ended(f"Done: {piece.mark}", [interval], mark, mark, moment) is None:
            return
        if piece.id not in interval.pieces:
            self._memory.said = f"{piece.mark} is through without minutes: it was not in hand."
            return
        self._say_shared(interval, piece)

    def _say_shared(self, interval: Interval, piece: Piece) -> None:
        """Say with whom a piece that was just marked shares its stretch, and what each has of it."""
        groups = marked_together(self.floor, interval)
        together = next((g for g in groups if len(g) > 1 and any(t.piece_id == piece.id for t in g)), None)
        if together is None:
            return
        now_us, who = self.record.instant(), [tally.piece_id for tally in together]
        each = sum(stretch_us(self.floor, interval, piece_id, now_us) for piece_id in who) / len(who) / 60e6
        self._memory.said = f"{texts.letters_text(self.floor, who)}: {minutes_text(each)} each, shared"

    def _say_through(self, step: Step, piece: Piece, moment: Moment | None) -> None:
        """Say since when a piece is through; for some seconds its letter takes that back."""
        mark = next((t for t in reversed(self.floor.tallies_of(step)) if t.piece_id == piece.id), None)
        if mark is None:
            self._memory.said = f"{piece.mark} is through {step.name}. Not right, Rework does it again."
            return

        def take(moment: Moment | None) -> None:
            self._do(f"Not yet: {piece.mark}", lambda tx: finish.not_yet(tx, step, piece), moment)

        now_us = self.record.instant(moment)
        self._memory.said = (
            f"{piece.mark} through at {time_text(mark.at_us, zone_of(self.floor))}. Press again: not yet."
        )
        self._memory.offer = Offer(piece.id, "not yet", take, now_us + OFFERED_FOR_US)

    def _sleeve(self, *_: object) -> None:
        self._memory.said = "Several letters at once: a sleeve or a palm. None was taken."

    def _in_out(self, piece_id: int, moment: Moment | None) -> None:
        """Put a piece in hand or take it out; before a start, choose it or leave it."""
        hand, piece = self._hand(), self.floor.find(Piece, piece_id)
        if hand.step is None or hand.batch is None or piece is None or piece.batch_id != hand.batch.id:
            return
        held = held_from(self.floor, hand.step, self.record.instant(moment))
        if piece.outcome is not None:
            step = self.floor.find(Step, piece.lost_step_id or 0)
            at, why = f" at {step.name}" if step is not None else "", f": {piece.reason}" if piece.reason else ""
            self._memory.said = f"{piece.mark} is {texts.ENDED[piece.outcome]}{at}{why}."
        elif piece.set_aside and hand.running:
            self._put(hand, frozenset(hand.pieces) | {piece.id}, f"{piece.mark} in", moment)
        elif piece.set_aside:
            self._do(f"{piece.mark} taken up", lambda tx: pieces.take_up(tx, piece), moment)
        elif piece.id in done_here(self.floor, hand):
            self._say_through(hand.step, piece, moment)
        elif piece.id in held and piece.id not in hand.pieces:
            self._ask_out(hand, piece, held[piece.id])
        else:
            self._toggle(hand, piece, moment)

    def _ask_out(self, hand: CurrentWork, piece: Piece, held: Interval) -> None:
        wait, none = texts.wait_text(self.floor, held, self.record.instant()), self._memory.none

        def answer(key: str | None) -> None:
            if key == "yes":
                before = frozenset[int]() if none else self._before(hand)
                self._put(hand, before | {piece.id}, f"{piece.mark} in", None)

        choices = (Choice("yes", "Take it out", role="primary"), Choice("no", "Leave it"))
        self._ask(f"{piece.mark} is in {texts.name_of(self.floor, held)} {wait}. Take it out?", choices, answer)

    def _toggle(self, hand: CurrentWork, piece: Piece, moment: Moment | None) -> None:
        """Put a piece in hand or out of it; after *None* it is that one alone."""
        now = frozenset({piece.id}) if self._memory.none else self._before(hand) ^ {piece.id}
        if now - done_here(self.floor, hand):
            self._put(hand, now, f"{piece.mark} {'in' if piece.id in now else 'out'}", moment)
        else:
            self._memory.said = "One piece has to stay in hand."

    def _before(self, hand: CurrentWork) -> frozenset[int]:
        """Pieces in hand, or chosen, before a press on a letter; *None* set aside."""
        chosen = self._memory.chosen
        return chosen if chosen is not None and not hand.running else frozenset(hand.pieces)

    def _put(self, hand: CurrentWork, now: frozenset[int], what: str, moment: Moment | None) -> None:
        """Have exactly these in hand: at once when it runs, else for when it is started."""
        interval = hand.interval
        if hand.mode is Mode.RUNNING and interval is not None:
            self._do(what, lambda tx: pieces.cover(tx, interval, now), moment)
        else:
            self._memory.chosen = now

    def _rest(self, hand: CurrentWork, step: Step) -> frozenset[int]:
        """Return the pieces that could be in hand and aren't."""
        held, done = held_from(self.floor, step, self.record.instant()), done_here(self.floor, hand)
        living = (p for p in self.floor.living(step.batch_id) if not p.set_aside)
        return frozenset(p.id for p in living if p.id not in held and p.id not in done) - self._before(hand)

    def _all(self, _: int, moment: Moment | None) -> None:
        hand = self._hand()
        if hand.step is not None:
            self._put(hand, self._before(hand) | self._rest(hand, hand.step), "All in", moment)

    def _none(self, _: int, _moment: Moment | None) -> None:  # that of the letter to come counts
        self._memory.none = True
        self._memory.said = "Press the letter of the one that is in hand."

    def _others(self, _: int, moment: Moment | None) -> None:
        hand = self._hand()
        if hand.step is None:
            return
        rest = self._rest(hand, hand.step)
        if rest:
            self._put(hand, rest, "The others in", moment)
        else:
            self._memory.said = "There are no others to be put in."

    def _not_right(self, *_: object) -> None:  # the moment of the last answer counts
        hand = self._hand()
        batch = self._batch_at_hand(hand)
        if batch is not None and self.floor.living(batch.id):
            instead = Instead(self.floor, self._ask, self._do, self._go)
            NotRight(self.floor, self._ask, self._do_not_right, hand, instead.ask).ask(batch)

    def _do_not_right(self, what: str, rule: Callable[[Transaction], T]) -> T | None:
        """Do it; say whose stretch went along with a piece, which its letter takes back until the next press."""
        before = {leaving.id for leaving in self.floor.all(Leaving)}
        found = self._do(what, rule)
        left = next((leaving for leaving in self.floor.all(Leaving) if leaving.id not in before), None)
        if left is None:
            return found
        mark, of = self.floor.get(Piece, left.piece_id).mark, self.floor.get(Interval, left.interval_id)
        minutes = minutes_text(stretch_us(self.floor, of, left.piece_id, left.at_us) / 60e6)
        self._memory.said = f"{mark} was in hand, {minutes} min. Was it not? Press {mark}."

        def take(moment: Moment | None) -> None:
            self._do(f"{mark} was not in hand", lambda tx: pieces.not_in_hand(tx, left), moment)
            self._memory.said = f"{mark} was not in hand: what was worked goes on without it."

        goes_on = self.floor.get(Piece, left.piece_id).living  # then its letter is soon needed to take it up again
        until_us = left.at_us + (ASIDE_OFFERED_FOR_US if goes_on else SAID_FOR_US)
        self._memory.offer = Offer(left.piece_id, "not in hand", take, until_us)
        return found

    def _reading(self, *_: object) -> None:  # the moment of the last answer counts
        """Ask for a reading; what is outside its limits is then said on the plate."""
        hand = self._hand()
        batch = self._batch_at_hand(hand)

        def press(what: str, rule: Callable[[Transaction], object]) -> None:
            with self._one_change():
                self._do(what, rule)

        if batch is not None:
            ask(self.dialogs, AskReading(self.floor, self.record.reads, press, batch, hand.step).whose())

    def _note(self, *_: object) -> None:  # the moment of the last answer counts
        """Note something about what runs or was stopped, about the batch or one of its pieces."""
        hand = self._hand()
        batch, interval = self._batch_at_hand(hand), hand.interval

        def press(what: str, rule: Callable[[Transaction], object]) -> None:
            with self._one_change():
                self._do(what, rule)

        if batch is not None:
            name = texts.name_of(self.floor, interval) if interval is not None else batch.name
            ask(self.dialogs, ask_bench_note(self.floor, press, batch, interval, name))

    # What is looked at, and how what runs is put right

    def _close(self, batch_id: int, moment: Moment | None) -> None:
        """Close a batch whose pieces are all through: finished, or seconds."""
        batch = self.floor.find(Batch, batch_id)
        if batch is not None and batch.closed_us is None:
            self._do(f"Close {batch.name}", lambda tx: batches.close_batch(tx, batch, {}, ""), moment)

    def _batches(self, *_: object) -> None:
        choices = [Choice(str(b.id), texts.batch_text(self.floor, b)) for b in self.floor.open_batches()]
        self._ask("Which batch", choices, lambda key: self._memory.look_at(int(key)) if key else None)

    def _show(self, step_id: int, _moment: Moment | None) -> None:
        self._memory.step_id, self._memory.page = step_id, BenchPage.BENCH

    def _turn_to(self, page: BenchPage) -> None:
        self._memory.page, self._memory.both = page, False

    def _both(self, *_: object) -> None:
        self._memory.both = not self._memory.both

    def _method(self, method_id: int, moment: Moment | None) -> None:
        """Go on by another method, or choose it for what will be started."""
        hand, method = self._hand(), self.floor.find(Method, method_id)
        interval = hand.interval
        if method is None:
            return
        if hand.running and interval is not None:
            self._do(f"Method {method.name}", lambda tx: adjust.use_method(tx, interval, method), moment)
        elif interval is None:
            self._memory.method_id = method.id

    def _methods(self, *_: object) -> None:
        """Ask which of many methods."""
        hand = self._hand()
        if hand.step is None:
            return
        now = hand.interval.method_id if hand.interval is not None else self._method_id(hand)
        methods = [m for m in self.floor.all(Method) if m.stage_id == hand.step.stage_id and not m.put_away]
        choices = [Choice(str(m.id), m.name, checked=m.id == now) for m in methods]
        self._ask("By which method", choices, lambda key: self._method(int(key), None) if key else None)

    def _set_up(self, _: int, moment: Moment | None) -> None:
        interval = self._hand().interval
        if interval is None or not interval.running:
            return
        if interval.work is WorkKind.SETUP:
            self._do("Now running", lambda tx: adjust.now_running(tx, interval), moment)
        else:
            self._do("Set-up", lambda tx: adjust.set_up(tx, interval), moment)

    def _adjust(self, *_: object) -> None:
        hand = self._hand()
        found = {o.choice.key: o for o in options(self.floor, hand, self.record.maker.id, self.record.instant())}
        ways = {choice.key: (choice, act) for choice, act in self._other_ways(hand)}
        choices = [option.choice for option in found.values()] + [choice for choice, _ in ways.values()]

        def answer(key: str | None) -> None:
            if key in ways:
                ways[key][1]()
            elif key is not None:
                self._do(found[key].what, found[key].rule)

        self._ask("Adjust what runs" if hand.running else "Adjust", choices, answer)

    def _other_ways(self, hand: CurrentWork) -> Iterator[tuple[Choice, Callable[[], object]]]:
        """Yield what else is behind Adjust, whatever has room on the plate itself."""
        if reading_button(self.floor, hand.batch):
            yield Choice("reading", "Reading", "measured"), self._reading
        if self._batch_at_hand(hand) is not None:
            yield Choice("note", "Note", "a word about it"), self._note
        for wait in tiles.waits_of(self.floor, self.batch_id):
            if cure.can_follow(self.floor, wait):
                name = texts.name_of(self.floor, wait)
                yield Choice("warmth", "Shop's warmth", name), partial(self._ask_warmth, wait)
                break
        yield Choice("amend", "Amend times", "all of this day"), partial(self._go, "amend")

    # What is shown

    def instant(self) -> int:
        """The instant it is now, in microseconds UTC."""
        return self.record.instant()

    @property
    def keep_awake(self) -> bool:
        """True if the screen has to stay on: something by hand or stay-by-it runs, or something spoils."""
        running = running_by(self.floor, self.record.maker.id)
        return bool(running) or bool(running_out(self.floor, self.record.instant()))

    def clock(self, now_us: int) -> str:
        """Return the running clock of the state drawn last, 0:47:12; empty where the plate has none."""
        if self._clock is None:
            return ""
        before, start, end = self._clock
        return clock_text(before + (end if end is not None else now_us) - start)

    def until_second_ms(self) -> int:
        """Return how long it takes until the running clock is a second further, in ms; a second where none runs."""
        if self._clock is None or self._clock[2] is not None:
            return SECOND_US // 1000
        before, start, _ = self._clock
        return (SECOND_US - (before + self.instant() - start) % SECOND_US) // 1000 + 1

    def in_header(self, now_us: int) -> tuple[Button, str] | None:
        """Return Stop and what runs, for where the plate doesn't show it: stage, batch and clock; nothing at rest."""
        running = running_by(self.floor, self.record.maker.id)
        if self._just_stopped(now_us):
            return Button("Stopped", role="raised", enabled=False, key=Press(Verb.STOP_ALL)), ""
        if not running:
            return None
        first = running[0]
        before_us = sum((i.end_us or i.start_us) - i.start_us for i in chain(self.floor, first)[1:])
        clock = clock_text(before_us + now_us - first.start_us)
        more = f"  +{len(running) - 1}" if len(running) > 1 else ""
        return Button("Stop", role="red", key=Press(Verb.STOP_ALL)), f"{of_where(self.floor, first)}  {clock}{more}"

    @property
    def on_plate(self) -> bool:
        """True if the plate is what the Bench shows, not one of the pages behind it."""
        return self._memory.page is BenchPage.BENCH

    def is_far(self, now_us: int) -> bool:
        """True if somebody works and nobody has touched anything for so long that the clock fills the screen."""
        far_us = self._far_us()
        return far_us is not None and now_us >= far_us

    def is_stale(self, now_us: int) -> bool:
        """True if more than the clock has to be drawn again."""
        return now_us >= self._fresh_until_us

    def state(self, now_us: int) -> BenchState:
        """Return everything that is on the screen, but the clock."""
        floor, memory, maker_id = self.floor, self._memory, self.record.maker.id
        eye, acts = self._eye(), self._acts_at(now_us)
        hand = acts.hand
        interval, self._clock = hand.interval, None
        if interval is not None and interval.kind.attended:
            before_us = sum((i.end_us or i.start_us) - i.start_us for i in chain(floor, interval)[1:])
            self._clock = before_us, interval.start_us, interval.end_us
        maker = PlateMaker(floor, self._usual_at, eye.batch_id, now_us)
        plate = maker.make(acts, memory.said_now(now_us), self._offered(now_us))
        side, route_page, batch = None, None, floor.find(Batch, eye.batch_id or 0)
        if batch is not None:
            side = self._side(acts, batch)
        if batch is not None and memory.page is BenchPage.ROUTE:
            both = Button("Both at once", "stops nothing", role="raised", checked=memory.both, key=Press(Verb.BOTH))
            heading = f"Whole route of {batch.name}: press a step to start it"
            route_page = RoutePage(heading, tiles.route_tiles(acts, batch.id, together=memory.both), both)
        return BenchState(
            page=memory.page,
            far=self._far(now_us),
            top=tiles.top(floor, eye, maker_id, now_us),
            plate=with_caution(floor, plate, hand, self._opened_us, memory.touched_us),
            side=side,
            bottom=self._bottom(acts, eye),
            route_page=route_page,
            far_name=said([plate.title, hand.batch.name if hand.batch is not None else ""]),
            far_line=said([summary(plate.letters) or plate.line, *self._beside(interval)]),
            back=Button("Back", role="raised", key=Press(Verb.BACK)),
        )

    def bottom(self, now_us: int) -> tuple[Button, ...]:
        """Return the row along the bottom alone: what keys, pedals and alarms press."""
        return self._bottom(self._acts_at(now_us), self._eye())

    def _beside(self, shown: Interval | None) -> list[str]:
        """Say what runs beside the work on the plate."""
        running = running_by(self.floor, self.record.maker.id)
        return [f"{of_where(self.floor, i)} runs too" for i in running if shown is None or i.id != shown.id]

    def _bottom(self, acts: BenchActs, eye: Selection) -> tuple[Button, ...]:
        just_stopped = self._just_stopped(acts.now_us)
        if just_stopped:
            self._fresh_until_us = min(self._fresh_until_us, (self._memory.stopped_us or 0) + STOPPED_FOR_US)
        return tiles.bottom(acts, eye, (self.undo_names, self.put_back_names), just_stopped=just_stopped)

    def _side(self, acts: BenchActs, batch: Batch) -> SideState:
        """Return what stands beside the plate: other work of a batch, or what may be true instead of the record."""
        route = Button("Whole route", tile=True, route=tiles.route_shown(self.floor, batch), key=Press(Verb.ROUTE_PAGE))
        asked = self._memory.in_spite
        begun = self._begun(asked)
        if asked is not None and begun is not None:
            return SideState("What is right", answers(self.floor, begun, asked.held), route, asked=True)
        shown = tiles.side_tiles(acts, batch.id, self._usual_at)
        heading = f"Other work in {batch.name}" if shown else f"No other work ready in {batch.name}"
        return SideState(heading, shown, route, corners=tiles.corners(acts, shown))

    def _begun(self, asked: InSpite | None) -> Interval | None:
        """Return what was started in spite of the record, as long as nothing else was pressed since."""
        if asked is None or asked.pressed is None or self.record.next_undo != asked.pressed:
            return None
        found = self.floor.find(Interval, asked.interval_id)
        return found if found is not None and found.running else None

    def _answer(self, verb: StrEnum, asked: InSpite | None, moment: Moment | None) -> None:
        """Put right what the record held of a tool when something was started in spite of it."""
        begun = self._begun(asked)
        if begun is None:
            return
        if verb is Verb.NOT_STARTED:
            self.press_undo(moment)
        elif verb is not Verb.IT_FITS:
            self._do(*answer_rule(self.floor, verb, begun), moment)

    def _offered(self, now_us: int) -> tuple[int, str] | None:
        """Return the piece whose letter takes something back now, and the word for it."""
        offer = self._memory.offer
        return (offer.piece_id, offer.word) if offer is not None and now_us < offer.until_us else None

    def _far(self, now_us: int) -> bool:
        """Tell whether the clock fills the screen; note when more than the clock is to be drawn again."""
        self._fresh_until_us, far_us = now_us + STALE_US, self._far_us()
        if far_us is not None and now_us < far_us:
            self._fresh_until_us = min(self._fresh_until_us, far_us)
        return far_us is not None and now_us >= far_us

    def _far_us(self) -> int | None:
        """Return when the clock is to fill the screen, if nobody touches anything before; nothing at rest."""
        left_alone_s = settings.value(self.floor, settings.FAR_VIEW_S)
        if not left_alone_s or not running_by(self.floor, self.record.maker.id):
            return None
        return self._memory.touched_us + left_alone_s * SECOND_US


def _by_key(state: BenchState, action: str, batch_id: int | None) -> Iterator[Button]:
    """Yield the buttons that a key of this action stands for, the first of them first; a batch is in sight."""
    plate = state.plate
    if action == "method":
        now = next((n for n, pick in enumerate(plate.picks) if pick.checked), -1)
        yield from (plate.picks[(now + 1) % len(plate.picks)],) if plate.picks else ()
    elif action == "batch":
        batches = [button for button in state.top if button.verb == Verb.BATCH]
        now = next((n for n, button in enumerate(batches) if button.key == Press(Verb.BATCH, batch_id or 0)), -1)
        yield from (batches[(now + 1) % len(batches)],) if batches else ()
    elif action in KEYS_DO:
        pages = (plate.pieces, state.side.whole_route if state.side is not None else None, state.back, state.top[-1])
        there = [*state.bottom, plate.big, *plate.tools, *pages]
        for verb in KEYS_DO[action]:
            yield from (button for button in there if button is not None and button.verb == verb)
    else:
        yield from (Button(one.letter, key=one.key) for one in plate.letters if one.letter == action)
