"""Presenter of the Bench. Plain Python: buttons, keys, pedals and tests press the same.

The way of a press: `press` looks its verb up in `_verbs`, that method changes what is remembered or has `do` give a
rule to the record, and when all is done the listeners are told once; they draw `state`.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from shopclock.screens.base_presenter import BasePresenter
from shopclock.screens.bench import texts, tiles
from shopclock.screens.bench.adjusting import options
from shopclock.screens.bench.current_work import Selection, chain, current_work, letters_choose, running_by
from shopclock.screens.bench.not_right import NotRight
from shopclock.screens.bench.plate_state import PlateMaker, done_here, reading_button, summary, with_caution
from shopclock.screens.bench.starting import start_of
from shopclock.screens.bench.state import BenchPage, BenchState, Mode, RoutePage, SideState, Verb
from shopclock.screens.readings.asking import AskReading
from shopclock.shop.figures.derive import marked_together, stretch_us
from shopclock.shop.routes import cure
from shopclock.shop.state import settings
from shopclock.shop.state.keys import action_of
from shopclock.shop.state.wording import clock_text, minutes_text, time_text, when_text, zone_of
from shopclock.shop.values.entities import Batch, Interval, Key, Leaving, Method, Piece, Stage, Step
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind, WorkKind
from shopclock.shop.work import adjust, begin, finish, pieces
from shopclock.shop.work.loads import blocked, fits, one_load, wait_sentence
from shopclock.shop.work.order_rules import running_out
from shopclock.shop.work.piece_progress import held_from, over, ready_at
from shopclock.views.button import Button, Press
from shopclock.views.dialogs import BELOW_ZERO, Choice
from shopclock.views.field import ask

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.screens.bench.current_work import CurrentWork
    from shopclock.screens.bench.starting import Start
    from shopclock.screens.bench.tiles import UsualAt
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
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
KEYS_DO = {
    "done": (Verb.DONE, Verb.THROUGH),
    "stop": (Verb.STOP, Verb.CARRY_ON),
    "next": (Verb.NEXT,),
    "undo": (Verb.UNDO,),
}
"""What the keys and pedals press: the button of these that is there."""


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
    start stops nothing, `said` the line that says something for a while, `touched_us` the last press, `offer` what a
    letter takes back for now.
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


class BenchPresenter(BasePresenter):
    """The Bench. `pressing` is set until all that a press changes is done: nothing is to be drawn before."""

    def __init__(self, record: Record, dialogs: Dialogs, usual_at: UsualAt, go: ShowScreen) -> None:
        super().__init__(record, dialogs)
        self.pressing = False
        self._usual_at = usual_at
        self._go = go
        self._listeners: list[Callable[[], None]] = []
        self._opened_us = record.instant()
        self._memory = BenchMemory(self._opened_us)
        self._clock: tuple[int, int, int | None] | None = None
        self._fresh_until_us = 0
        self._verbs: dict[str, Callable[[int, Moment | None], object]] = {
            Verb.START: self._start,
            Verb.OUT: self._out,
            Verb.LOAD_IN: self._load_in,
            Verb.STOP: self._stop,
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
            Verb.TO_BATCHES: lambda *_: go("batches"),
            Verb.TO_ROUTES: lambda *_: go("copy"),
        }

    # The way in, and the way to the record

    def press(self, press: Press, moment: Moment | None = None) -> None:
        """Do what a button says, at the moment the finger came down."""
        memory = self._memory
        memory.said, memory.touched_us = "", self.record.instant(moment)
        offer, memory.offer = memory.offer, None
        with self._one_change():
            if press.verb is Verb.LETTER and offer is not None and offer.piece_id == press.number:
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
        for button in self.bottom(self.record.instant(moment)):
            if button.verb in KEYS_DO[action] and button.enabled and isinstance(button.key, Press):
                self.press(button.key, moment)
                break
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
        for listener in self._listeners:
            listener()

    def _do(self, what: str, rule: Callable[[Transaction], T], moment: Moment | None = None) -> T | None:
        """Have the record take a press; on a refusal say why and return nothing. Nothing is chosen any more."""
        self._memory.chosen, self._memory.method_id, self._memory.none = None, None, False
        return self._press(what, rule, moment)

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

    # What starts, stops and goes on

    def _start(self, step_id: int, moment: Moment | None) -> None:
        step, hand = self.floor.find(Step, step_id), self._hand()
        if step is None:
            return
        ours = not hand.running and hand.step == step
        chosen = tuple(self._memory.chosen or ()) if ours else ()
        method_id, now_us = self._method_id(hand) if ours else None, self.record.instant(moment)
        start = start_of(self.floor, step, now_us, chosen, method_id, together=self._memory.both)
        if start.line:
            self._memory.said = start.line
        elif start.question:
            choices = (Choice("yes", start.yes, role="primary"), Choice("no", "Leave it"))
            self._ask(start.question, choices, lambda key: self._begin(start) if key == "yes" else None)
        else:
            self._begin(start, moment)

    def _begin(self, start: Start, moment: Moment | None = None) -> None:
        begun = self._do(start.what, start.rule, moment)
        if begun is not None:
            self._memory.look_at(begun.batch_id)

    def _out(self, interval_id: int, moment: Moment | None) -> None:
        floor, interval = self.floor, self.floor.find(Interval, interval_id)
        if interval is None or not interval.running:
            return
        name, now_us = texts.name_of(floor, interval), self.record.instant(moment)
        take_out = partial(self._do, f"Out: {name}", lambda tx: finish.load_out(tx, interval))
        load = one_load(floor, interval, now_us)
        if all(over(floor, one, now_us) for one in load):
            take_out(moment)
            return
        who = texts.letters_text(floor, [piece for one in load for piece in one.pieces])
        question = f"{who} in {name}, {texts.wait_text(floor, load[-1], now_us)}. Take out now?"
        choices = [Choice("yes", "Take out", role="primary"), Choice("no", "Leave it")]
        answers = {"yes": take_out}
        if cure.can_follow(floor, interval):
            now = f"{interval.shop_c:g} °C" if interval.shop_c is not None else "a cold shop cures slower"
            choices.append(Choice("warmth", "Shop's warmth", now))
            answers["warmth"] = partial(self._ask_warmth, interval)
        self._ask(question, choices, lambda key: answers[key]() if key in answers else None)

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
                    self._memory.said = f"Ready {when} at {shop_c:g} °C. Its makers' leaflet decides."

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
        hand = self._hand()
        interval = hand.interval
        if interval is None or not hand.running:
            return
        rule: Callable[[Transaction], object] = begin.stop
        if interval.kind is Kind.WATCH:
            rule = partial(begin.end, interval=interval)
        if self._do("Stop", rule, moment) is None:
            return
        if hand.batch is not None:
            self._memory.look_at(hand.batch.id)
        floor, now_us = self.floor, self.record.instant()
        on = [*running_by(floor, self.record.maker.id), *tiles.waits_of(floor)]
        if on:
            more = f", and {len(on) - 1} more" if len(on) > 1 else ""
            self._memory.said = f"{texts.on_text(floor, on[0], now_us)}{texts.in_tool_text(floor, on[0])}{more}."

    def _carry_on(self, _: int, moment: Moment | None) -> None:
        """Carry on with what was stopped; with other pieces, where others were chosen meanwhile."""
        hand, chosen = self._hand(), self._memory.chosen
        rule: Callable[[Transaction], list[Interval]] = begin.carry_on
        if hand.mode is Mode.STOPPED and chosen is not None and hand.step and hand.interval:
            rule = partial(_carry_on_with, step=hand.step, stopped=hand.interval, chosen=tuple(chosen))
        begun = self._do("Carry on", rule, moment)
        if begun:
            self._memory.look_at(begun[0].batch_id)

    def _next(self, _: int, moment: Moment | None) -> None:
        hand = self._hand()
        interval = hand.interval
        if interval is None or hand.step is None or hand.mode not in (Mode.RUNNING, Mode.STOPPED):
            return
        chosen = None if hand.running else tuple(self._chosen(hand))
        following = finish.next_step(self.floor, hand.step, chosen or hand.pieces)
        what = f"Next: {following.name}" if following is not None else f"{hand.step.name} through"
        self._do(what, lambda tx: finish.go_on(tx, interval, chosen), moment)
        self._memory.look_at(interval.batch_id)

    def _done(self, _: int, moment: Moment | None) -> None:
        hand = self._hand()
        interval, title = hand.interval, tiles.done_title(self.floor, hand)
        if interval is not None and title:
            marked = self._do(title, lambda tx: finish.one_done(tx, interval), moment)
            if marked is not None:
                self._say_shared(interval, marked)

    def _through(self, _: int, moment: Moment | None) -> None:
        hand = self._hand()
        step = hand.step
        if step is not None and hand.mode is Mode.STOPPED:
            chosen = tuple(self._chosen(hand))
            self._do(f"{step.name} through", lambda tx: finish.all_through(tx, step, chosen), moment)

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
        if self._do(f"Done: {piece.mark}", lambda tx: finish.one_done(tx, interval, piece), moment) is None:
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
            NotRight(self.floor, self._ask, self._do_not_right, hand).ask(batch)

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

    # What is looked at, and how what runs is put right

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
        choices = [option.choice for option in found.values()]
        if reading_button(self.floor, hand.batch):
            choices.append(Choice("reading", "Reading", "measured"))
        choices.append(Choice("amend", "Amend times", "all of this day"))

        def answer(key: str | None) -> None:
            if key == "reading":
                self._reading()
            elif key == "amend":
                self._go("amend")
            elif key is not None:
                self._do(found[key].what, found[key].rule)

        self._ask("Adjust what runs" if hand.running else "Adjust", choices, answer)

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

    def is_stale(self, now_us: int) -> bool:
        """True if more than the clock has to be drawn again."""
        return now_us >= self._fresh_until_us

    def state(self, now_us: int) -> BenchState:
        """Return everything that is on the screen, but the clock."""
        floor, memory, maker_id = self.floor, self._memory, self.record.maker.id
        eye, hand = self._eye(), self._hand(now_us)
        interval, self._clock = hand.interval, None
        if interval is not None and interval.kind.attended:
            before_us = sum((i.end_us or i.start_us) - i.start_us for i in chain(floor, interval)[1:])
            self._clock = before_us, interval.start_us, interval.end_us
        maker = PlateMaker(floor, self._usual_at, eye.batch_id, now_us)
        offered = self._offered(now_us)
        plate = maker.make(hand, self._chosen(hand), self._method_id(hand), memory.said_now(now_us), offered)
        side, route_page, batch = None, None, floor.find(Batch, eye.batch_id or 0)
        if batch is not None:
            shown = tiles.side_tiles(floor, hand, batch.id, maker_id, self._usual_at, now_us)
            heading = f"Other work in {batch.name}" if shown else f"No other work ready in {batch.name}"
            route, key = tiles.route_shown(floor, batch), Press(Verb.ROUTE_PAGE)
            side = SideState(heading, shown, Button("Whole route", tile=True, route=route, key=key))
        if batch is not None and memory.page is BenchPage.ROUTE:
            both = Button("Both at once", "stops nothing", role="raised", checked=memory.both, key=Press(Verb.BOTH))
            heading = f"Whole route of {batch.name}: press a step to start it"
            route_page = RoutePage(heading, tiles.route_tiles(floor, batch.id, now_us), both)
        return BenchState(
            page=memory.page,
            far=self._far(now_us),
            top=tiles.top(floor, eye, maker_id, now_us),
            plate=with_caution(floor, plate, hand, self._opened_us, memory.touched_us),
            side=side,
            bottom=tiles.bottom(floor, hand, eye, maker_id, self.undo_names, now_us),
            route_page=route_page,
            far_line=summary(plate.letters) or plate.line,
            back=Button("Back", role="raised", key=Press(Verb.BACK)),
        )

    def bottom(self, now_us: int) -> tuple[Button, ...]:
        """Return the row along the bottom alone: what keys, pedals and alarms press."""
        return tiles.bottom(self.floor, self._hand(now_us), self._eye(), self.record.maker.id, self.undo_names, now_us)

    def _offered(self, now_us: int) -> tuple[int, str] | None:
        """Return the piece whose letter takes something back now, and the word for it."""
        offer = self._memory.offer
        return (offer.piece_id, offer.word) if offer is not None and now_us < offer.until_us else None

    def _far(self, now_us: int) -> bool:
        """Tell whether the clock fills the screen; note when more than the clock is to be drawn again."""
        self._fresh_until_us = now_us + STALE_US
        if self._memory.offer is not None and now_us < self._memory.offer.until_us:
            self._fresh_until_us = min(self._fresh_until_us, self._memory.offer.until_us)
        left_alone_s = settings.value(self.floor, settings.FAR_VIEW_S)
        if not left_alone_s or not running_by(self.floor, self.record.maker.id):
            return False
        at_us = self._memory.touched_us + left_alone_s * SECOND_US
        if now_us < at_us:
            self._fresh_until_us = min(self._fresh_until_us, at_us)
        return now_us >= at_us


def _carry_on_with(tx: Transaction, step: Step, stopped: Interval, chosen: tuple[int, ...]) -> list[Interval]:
    method_id, cause_id = stopped.method_id, stopped.cause_step_id
    return [begin.begin(tx, step, chosen, method_id=method_id, work=stopped.work, cause_step_id=cause_id)]
