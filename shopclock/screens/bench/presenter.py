"""Presenter of the Bench. Plain Python: buttons, keys, pedals and tests press the same.

The way of a press: `press` looks its verb up in `_verbs`, that method changes what is remembered or has `do` give a
rule to the record, and when all is done the listeners are told once; they draw `state`.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Protocol

from shopclock.screens.bench import texts, tiles
from shopclock.screens.bench.act_words import JUST_STOPPED, of_where, said, start_name
from shopclock.screens.bench.answers import ANSWERS, InSpite, answers
from shopclock.screens.bench.asking import BenchAsking
from shopclock.screens.bench.current_work import Selection, chain, running_by
from shopclock.screens.bench.hands import ACTS, BenchHands
from shopclock.screens.bench.marking import Marking
from shopclock.screens.bench.memory import SECOND_US
from shopclock.screens.bench.plate_state import PlateMaker, summary, through_of, with_caution
from shopclock.screens.bench.state import BenchPage, BenchState, RoutePage, SideState, Verb
from shopclock.shop.state import settings
from shopclock.shop.state.keys import said_of
from shopclock.shop.state.wording import clock_text
from shopclock.shop.values.entities import Batch, Interval, Key, Step
from shopclock.shop.values.kinds import WorkKind
from shopclock.shop.work import batches, pieces
from shopclock.shop.work.acts import out_act, start_act, stop_act
from shopclock.shop.work.loads import blocked, fits, one_load, wait_sentence
from shopclock.shop.work.makers import name_of_maker
from shopclock.shop.work.order_rules import running_out
from shopclock.shop.work.piece_progress import over
from shopclock.views.button import Button, Press

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.screens.bench.bench_acts import BenchActs
    from shopclock.screens.bench.tiles import UsualAt
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.work.acts import Act
    from shopclock.views.dialogs import Dialogs

STALE_US = 10 * SECOND_US
"""How old minutes, waits and ready work on the screen can be. The clock is drawn each second."""
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
    "out": (Verb.OUT,),
    "both": (Verb.START_BOTH, Verb.BOTH),
    "note": (Verb.NOTE,),
    "close": (Verb.CLOSE,),
    "all": (Verb.ALL,),
    "none": (Verb.NONE,),
    "others": (Verb.OTHERS,),
}
"""Verbs that keys and pedals press: the first button of these that is there and takes a press."""


class Begin(Protocol):
    """Starts a step with pieces, for another screen."""

    def __call__(self, step: Step, pieces: tuple[int, ...], moment: Moment | None, /) -> bool:
        """Start it; tells whether it was."""


class BenchPresenter(BenchHands):
    """The Bench of one maker. `half`: another works beside, each on a half of the screen."""

    def __init__(
        self, record: Record, dialogs: Dialogs, usual_at: UsualAt, go: ShowScreen, maker_id: int | None = None
    ) -> None:
        super().__init__(record, dialogs, usual_at, go, maker_id)
        self.half = False
        self._opened_us = record.instant()
        self._marking, self._asking = Marking(self), BenchAsking(self)
        self._clock: tuple[int, int, int | None] | None = None
        self._fresh_until_us = 0
        self._verbs: dict[str, Callable[[int, Moment | None], object]] = {
            Verb.START: self._start,
            Verb.START_BOTH: self._start_both,
            Verb.WARMTH: self._asking.warmth,
            Verb.OUT: self._out,
            Verb.LOAD_IN: self._load_in,
            Verb.STOP: self._stop,
            Verb.STOP_ALL: self._stop_all,
            Verb.CARRY_ON: self._carry_on,
            Verb.NEXT: self._next,
            Verb.DONE: self._marking.done,
            Verb.THROUGH: self._through,
            Verb.SHOP_WORK: self._asking.shop_work,
            Verb.LETTER: self._marking.letter,
            Verb.IN_OUT: self._marking.in_out,
            Verb.SLEEVE: self._marking.sleeve,
            Verb.ALL: self._marking.all,
            Verb.NONE: self._marking.none,
            Verb.OTHERS: self._marking.others,
            Verb.NOT_RIGHT: self._marking.not_right,
            Verb.READING: self._asking.reading,
            Verb.NOTE: self._asking.note,
            Verb.BATCH: lambda number, _: self.memory.look_at(number),
            Verb.BATCHES: self._asking.batches,
            Verb.SHOW: self._show,
            Verb.ROUTE_PAGE: lambda *_: self._turn_to(BenchPage.ROUTE),
            Verb.PIECES_PAGE: lambda number, _: self._turn_to(BenchPage.LETTERS if number else BenchPage.PIECES),
            Verb.BACK: lambda *_: self._turn_to(BenchPage.BENCH),
            Verb.BOTH: self._both,
            Verb.METHOD: self._asking.method,
            Verb.METHODS: self._asking.methods,
            Verb.SET_UP: self._asking.set_up,
            Verb.ADJUST: self._asking.adjust,
            Verb.UNDO: lambda _, moment: self.press_undo(moment),
            Verb.PUT_BACK: lambda _, moment: self.press_put_back(moment),
            Verb.CLOSE: self._close,
            Verb.TO_BATCHES: lambda *_: go("batches"),
            Verb.TO_ROUTES: lambda *_: go("copy"),
            Verb.WHO: self._asking.who,
        }

    def press(self, press: Press, moment: Moment | None = None) -> None:
        """Do what a button says, at the moment the finger came down."""
        memory = self.memory
        memory.said, memory.touched_us = "", self.record.instant(moment)
        memory.pressed_us = memory.touched_us
        offer, memory.offer, self.ended = memory.offer, None, None
        if offer is not None and not offer.stands(self.floor):
            offer = None
        asked, memory.in_spite = memory.in_spite, None
        with self.one_change():
            if press.verb in ANSWERS:
                self._asking.answer(press.verb, asked, moment)
            elif press.verb is Verb.LETTER and offer is not None and offer.about.piece_id == press.number:
                take = offer.take if memory.touched_us < offer.until_us else partial(self._marking.letter, press.number)
                take(moment)
            else:
                self._verbs[press.verb](press.number, moment)
            if press.verb is not Verb.NONE:
                memory.none = False

    def act(self, action: str, moment: Moment | None = None) -> str:
        """Press the button that an action of a key stands for; return why none was, empty where one was."""
        buttons = list(_by_key(self.state(self.record.instant(moment)), action, self.batch_id))
        found = next((b for b in buttons if b.enabled), None)
        if found is None or not isinstance(found.key, Press):
            return next((b.why_not for b in buttons), f"{said_of(action)}: nothing to press now.")
        self.press(found.key, moment)
        return ""

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys and pedals that do something here."""
        return tuple(dict.fromkeys(key.key for key in self.floor.all(Key)))

    def wake(self, moment: Moment | None = None) -> None:
        """Somebody is there: the far view gives way."""
        now_us = self.record.instant(moment)
        self.memory.said, self.memory.touched_us = self.memory.said_now(self.floor, now_us), now_us

    def show_batch(self, batch_id: int) -> None:
        """Have this batch in sight."""
        self.memory.look_at(batch_id)
        self.floor.memo(ACTS).clear()

    def begin(self, step: Step, pieces: tuple[int, ...], moment: Moment | None) -> bool:
        """Start a step with these pieces for another screen; comes in sight where something speaks against it."""
        memory = self.memory
        memory.said, memory.touched_us, memory.in_spite = "", self.record.instant(moment), None
        act = start_act(self.floor, self.maker_id, step, memory.touched_us, pieces)
        with self.one_change():
            begun = act is not None and self._begin(step, act, moment)
        if act is not None and act.in_spite is not None:
            self.go("bench")
        return begun

    def just_stopped(self, now_us: int) -> bool:
        """Tell whether *Stop* was pressed so lately that its place takes nothing, but what was begun since."""
        stopped_us = self.memory.stopped_us
        if stopped_us is None or not 0 <= now_us - stopped_us < STOPPED_FOR_US:
            return False
        running = running_by(self.floor, self.maker_id)
        return all(i.start_us <= stopped_us and i.id not in self.memory.stopped for i in running)

    def _start(self, step_id: int, moment: Moment | None) -> None:
        self._carry_out_start(step_id, moment, together=self.memory.both)

    def _start_both(self, step_id: int, moment: Moment | None) -> None:
        self._carry_out_start(step_id, moment, together=True)

    def _carry_out_start(self, step_id: int, moment: Moment | None, *, together: bool) -> None:
        step = self.floor.find(Step, step_id)
        act = self.acts(moment).start(step, together=together) if step is not None else None
        if step is not None and act is None:
            self.memory.said = f"No {step.name.lower()} left to do in this batch. Nothing was started."
        if step is None or act is None:
            return
        self._begin(step, act, moment)

    def _begin(self, step: Step, act: Act, moment: Moment | None) -> bool:
        """Carry a start out; ask about what it was done in spite of."""
        begun = self.carry_out(start_name(act, step), act, moment)
        if begun is None:
            return False
        self.memory.look_at(step.batch_id)
        if begun and begun[0].work is WorkKind.REWORK:
            self.memory.said = f"{texts.letters_text(self.floor, begun[0].pieces)} again, as rework."
        if begun and act.in_spite is not None:
            self.memory.in_spite = InSpite(begun[0].id, act.in_spite, self.record.next_undo)
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
        if self.carry_out(f"Out: {texts.name_of(floor, interval)}", act, moment) is not None:
            self.memory.said = said

    def _load_in(self, step_id: int, moment: Moment | None) -> None:
        """Put more of what is ready into the load that is worked, as many as there is room for."""
        floor, now_us = self.floor, self.record.instant(moment)
        running = next((i for i in running_by(floor, self.maker_id) if i.step_id == step_id), None)
        if running is None:
            return
        step, more = floor.get(Step, step_id), tiles.more_ready(floor, running, now_us)
        found, going = blocked(floor, step, more, (), now_us), fits(floor, step, more)
        if not going and found is not None:
            self.memory.said = wait_sentence(floor, found, now_us)
        elif going:
            wanted = (*running.pieces, *more)
            self.do(f"Load {len(going)} in: {step.name}", lambda tx: pieces.cover(tx, running, wanted), moment)

    def _stop(self, _: int, moment: Moment | None) -> None:
        """Stop by hand what is by hand, a watch on the plate alone; say what is still on."""
        acts = self.acts(moment)
        self._end(acts.stop() if acts.hand.running else None, acts.hand.batch, moment)

    def _stop_all(self, _: int, moment: Moment | None) -> None:
        """Stop all that runs by hand, or what is watched where nothing does, whatever is on the plate."""
        self._end(stop_act(self.floor, self.maker_id, None), self.acts(moment).hand.batch, moment)

    def _end(self, act: Act | None, batch: Batch | None, moment: Moment | None) -> None:
        if act is None or self.just_stopped(self.record.instant(moment)) or self.carry_out("Stop", act, moment) is None:
            return
        self.memory.stopped_us = now_us = self.record.instant(moment)
        self.memory.stopped = frozenset(i.id for i in act.ends)
        if batch is not None:
            self.memory.look_at(batch.id)
        floor = self.floor
        on = [*running_by(floor, self.maker_id), *tiles.waits_of(floor)]
        if on:
            more = f", and {len(on) - 1} more" if len(on) > 1 else ""
            self.memory.said = f"{texts.on_text(floor, on[0], now_us)}{texts.in_tool_text(floor, on[0])}{more}."

    def _carry_on(self, _: int, moment: Moment | None) -> None:
        """Carry on with what the button names, and with that alone; just after Stop its place takes nothing."""
        acts = self.acts(moment)
        act, stopped = acts.carry_on(), acts.stopped
        if act is None or stopped is None or self.just_stopped(self.record.instant(moment)):
            return
        if self.carry_out(f"Carry on: {texts.name_of(self.floor, stopped)}", act, moment) is not None:
            self.memory.look_at(stopped.batch_id)

    def _next(self, _: int, moment: Moment | None) -> None:
        acts = self.acts(moment)
        act, interval = acts.next(), acts.hand.interval
        if act is None or act.at is None or interval is None:
            return
        what = f"Next: {act.starts.name}" if act.starts is not None else f"{act.at.name} through"
        self.carry_out(what, act, moment)
        self.memory.look_at(interval.batch_id)

    def _through(self, _: int, moment: Moment | None) -> None:
        act = self.acts(moment).through()
        if act is not None and act.at is not None:
            self.carry_out(f"{act.at.name} through", act, moment)

    def _close(self, batch_id: int, moment: Moment | None) -> None:
        """Close a batch whose pieces are all through: finished, or seconds."""
        batch = self.floor.find(Batch, batch_id)
        if batch is not None and batch.closed_us is None:
            self.do(f"Close {batch.name}", lambda tx: batches.close_batch(tx, batch, {}, ""), moment)

    def _show(self, step_id: int, _moment: Moment | None) -> None:
        self.memory.step_id, self.memory.page, self.memory.chosen = step_id, BenchPage.BENCH, None

    def _turn_to(self, page: BenchPage) -> None:
        self.memory.page, self.memory.both = page, False

    def _both(self, *_: object) -> None:
        self.memory.both = not self.memory.both

    @property
    def keep_awake(self) -> bool:
        """True if the screen has to stay on: something by hand or stay-by-it runs, or something spoils."""
        running = running_by(self.floor, self.maker_id)
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
        running, key = running_by(self.floor, self.maker_id), Press(Verb.STOP_ALL, self.maker_id)
        who = name_of_maker(self.floor, self.maker_id) if self.half else ""
        held = self.just_stopped(now_us)
        stopped = Button("Stopped", who, role="raised", why_not=JUST_STOPPED, key=key) if held else None
        if not running:
            return (stopped, "") if stopped is not None else None
        first = running[0]
        before_us = sum((i.end_us or i.start_us) - i.start_us for i in chain(self.floor, first)[1:])
        clock = clock_text(before_us + now_us - first.start_us)
        more = f"  +{len(running) - 1}" if len(running) > 1 else ""
        told = texts.name_of(self.floor, first) if self.half else of_where(self.floor, first)
        stop = stopped or Button("Stop", who, role="red", detail_role="red_text", key=key)
        return stop, f"{told}  {clock}{more}"

    @property
    def on_plate(self) -> bool:
        """True if the plate is what the Bench shows, not one of the pages behind it."""
        return self.memory.page is BenchPage.BENCH

    def is_far(self, now_us: int) -> bool:
        """True if somebody works and nobody has touched anything for so long that the clock fills the screen."""
        far_us = self._far_us()
        return far_us is not None and now_us >= far_us

    def is_stale(self, now_us: int) -> bool:
        """True if more than the clock has to be drawn again."""
        return now_us >= self._fresh_until_us

    def state(self, now_us: int) -> BenchState:
        """Return everything that is on the screen, but the clock."""
        floor, memory, maker_id = self.floor, self.memory, self.maker_id
        eye, acts = self.eye(), self.acts_at(now_us)
        hand = acts.hand
        interval, self._clock = hand.interval, None
        if interval is not None and interval.kind.attended:
            before_us = sum((i.end_us or i.start_us) - i.start_us for i in chain(floor, interval)[1:])
            self._clock = before_us, interval.start_us, interval.end_us
        maker = PlateMaker(floor, self.usual_at, eye.batch_id, now_us)
        plate = maker.make(acts, memory.said_now(floor, now_us), self._offered(now_us))
        side, route_page, batch = None, None, floor.find(Batch, eye.batch_id or 0)
        who = name_of_maker(floor, maker_id) if self.half else ""
        if batch is not None:
            side = self._side(acts, batch)
        if batch is not None and memory.page is BenchPage.ROUTE:
            both = Button("Both at once", "stops nothing", role="raised", checked=memory.both, key=Press(Verb.BOTH))
            heading = f"Whole route of {batch.name}: press a step to start it"
            route_page = RoutePage(heading, tiles.route_tiles(acts, batch.id, together=memory.both), both)
        return BenchState(
            page=memory.page,
            far=self._far(now_us),
            top=tiles.top(floor, eye, maker_id, now_us, half=self.half),
            plate=with_caution(floor, plate, hand, self._opened_us, memory.touched_us),
            side=side,
            bottom=self._bottom(acts, eye),
            route_page=route_page,
            far_name=plate.title,
            far_batch=said([who, hand.batch.name if hand.batch is not None else "", through_of(plate.letters)]),
            far_line=summary(plate.letters) or plate.line,
            far_beside=said(self._beside(interval)),
            back=Button("Back", role="raised", key=Press(Verb.BACK)),
        )

    def bottom(self, now_us: int) -> tuple[Button, ...]:
        """Return the row along the bottom alone: what keys, pedals and alarms press."""
        return self._bottom(self.acts_at(now_us), self.eye())

    def _beside(self, shown: Interval | None) -> list[str]:
        """Say what runs beside the work on the plate."""
        running = running_by(self.floor, self.maker_id)
        return [f"{of_where(self.floor, i)} runs too" for i in running if shown is None or i.id != shown.id]

    def _bottom(self, acts: BenchActs, eye: Selection) -> tuple[Button, ...]:
        just_stopped = self.just_stopped(acts.now_us)
        if just_stopped:
            self._fresh_until_us = min(self._fresh_until_us, (self.memory.stopped_us or 0) + STOPPED_FOR_US)
        return tiles.bottom(acts, eye, (self.undo_names, self.put_back_names), just_stopped=just_stopped)

    def _side(self, acts: BenchActs, batch: Batch) -> SideState:
        """Return what stands beside the plate: other work of a batch, or what may be true instead of the record."""
        route = Button("Whole route", tile=True, route=tiles.route_shown(self.floor, batch), key=Press(Verb.ROUTE_PAGE))
        asked = self.memory.in_spite
        begun = self._asking.begun(asked)
        if asked is not None and begun is not None:
            return SideState("What is right", answers(self.floor, begun, asked.held), route, asked=True)
        shown = tiles.side_tiles(acts, batch.id, self.usual_at)
        heading = f"Other work in {batch.name}" if shown else f"No other work ready in {batch.name}"
        return SideState(heading, shown, route, corners=tiles.corners(acts, shown))

    def _offered(self, now_us: int) -> tuple[int, str] | None:
        """Return the piece whose letter takes something back now, and the word for it."""
        offer = self.memory.offer
        if offer is None or now_us >= offer.until_us or not offer.stands(self.floor):
            return None
        return offer.about.piece_id, offer.word

    def _far(self, now_us: int) -> bool:
        """Tell whether the clock fills the screen; note when more than the clock is to be drawn again."""
        self._fresh_until_us, far_us = now_us + STALE_US, self._far_us()
        if far_us is not None and now_us < far_us:
            self._fresh_until_us = min(self._fresh_until_us, far_us)
        return far_us is not None and now_us >= far_us

    def _far_us(self) -> int | None:
        """Return when the clock is to fill the screen, if nobody touches anything before; nothing at rest."""
        left_alone_s = settings.value(self.floor, settings.FAR_VIEW_S)
        if not left_alone_s or not running_by(self.floor, self.maker_id):
            return None
        return self.memory.touched_us + left_alone_s * SECOND_US


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
        side, page = state.side, state.route_page
        pieces = Button("Pieces", key=Press(Verb.PIECES_PAGE)) if plate.pieces is not None else None
        pages = (pieces, side.whole_route if side is not None else None, state.back, state.top[-1])
        beside = (*side.tiles, *side.corners) if side is not None else ()
        groups = (Button(verb, key=Press(verb)) for verb in (Verb.ALL, Verb.NONE, Verb.OTHERS) if plate.letters)
        both = page.both if page is not None else None
        there = [*state.bottom, plate.big, *plate.tools, *pages, *beside, both, *groups]
        for verb in KEYS_DO[action]:
            yield from (button for button in there if button is not None and button.verb == verb)
    else:
        yield from (Button(one.letter, key=one.key) for one in plate.letters if one.letter == action)
