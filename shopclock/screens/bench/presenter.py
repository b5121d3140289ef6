"""What the Bench shows and what each press on it does. Plain Python: buttons, keys, pedals and tests press the same."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench import tiles
from shopclock.screens.bench.bottom import bottom
from shopclock.screens.bench.caution_line import caution_line, with_caution
from shopclock.screens.bench.current_work import chain_us, running_by
from shopclock.screens.bench.letters import summary
from shopclock.screens.bench.pace import UsualAt, Usuals
from shopclock.screens.bench.piece_presses import PiecePresses
from shopclock.screens.bench.plate_state import PlateMaker
from shopclock.screens.bench.run_presses import RunPresses
from shopclock.screens.bench.session import BenchSession
from shopclock.screens.bench.sight_presses import SightPresses
from shopclock.screens.bench.state import BenchButton, BenchPage, BenchState, RoutePage, SideState
from shopclock.shop.state import settings
from shopclock.shop.state.keys import action_of
from shopclock.shop.state.wording import clock_text
from shopclock.shop.values.entities import Batch, Key
from shopclock.shop.work.order_rules import running_out

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.press.record import Record
    from shopclock.screens.bench.current_work import CurrentWork, Selection
    from shopclock.shop.values.clock import Moment
    from shopclock.views.dialogs import Dialogs

SECOND_US = 1_000_000
STALE_US = 10 * SECOND_US
"""How old minutes, waits and ready work on the screen can be. The clock is drawn each second."""
KEYS_DO = {"done": ("done", "through"), "stop": ("stop", "carry-on"), "next": ("next",), "undo": ("undo",)}
"""What the keys and pedals press: the button of these that is there."""


class BenchPresenter:
    """The Bench. `press` takes the key of a button, and the moment the finger came down."""

    def __init__(
        self,
        record: Record,
        dialogs: Dialogs,
        usual_at: UsualAt,
        go: Callable[[str], None],
    ) -> None:
        self._record = record
        self._desk = BenchSession(record, dialogs)
        self._usuals = Usuals(usual_at)
        runs, sights, pieces = RunPresses(self._desk), SightPresses(self._desk, go), PiecePresses(self._desk)
        self._verbs = {**runs.verbs(), **sights.verbs(), **pieces.verbs()}
        self._clock: tuple[int, int, int | None] | None = None
        self._fresh_until_us = 0

    def on_change(self, listener: Callable[[], None]) -> None:
        """Call this when something is to be drawn again."""
        self._desk.listeners.append(listener)

    def press(self, key: str, moment: Moment | None = None) -> None:
        """Do what a button's key says, at the moment the finger came down."""
        memory = self._desk.memory
        verb, _, argument = key.partition(":")
        memory.said, memory.touched_us = "", self._record.instant(moment)
        self._verbs[verb](argument, moment)
        if verb != "none":
            memory.none = False
        self._desk.tell()

    def key(self, name: str, moment: Moment | None = None) -> bool:
        """Do what a key or pedal of this name is for; tell whether it is for anything here."""
        action = action_of(self._record.floor, name)
        if action is None:
            return False
        now_us = self._record.instant(moment)
        for button in self._bottom(self._desk.eye(), self._desk.hand(now_us), now_us):
            if button.key in KEYS_DO[action] and button.enabled:
                self.press(button.key, moment)
        return True

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys and pedals that do something here."""
        return tuple(dict.fromkeys(key.key for key in self._record.floor.all(Key)))

    def show_batch(self, batch_id: int) -> None:
        """Have this batch in sight."""
        self._desk.memory.look_at(batch_id)

    @property
    def batch_id(self) -> int | None:
        """The batch in sight, if one is open."""
        return self._desk.eye().batch_id

    def instant(self) -> int:
        """The instant it is now, in microseconds UTC."""
        return self._record.instant()

    def wake(self, moment: Moment | None = None) -> None:
        """Somebody is there: the far view gives way."""
        memory, now_us = self._desk.memory, self._record.instant(moment)
        memory.said, memory.touched_us = memory.said_now(now_us), now_us

    @property
    def keep_awake(self) -> bool:
        """Whether the screen has to stay on: something by hand or stay-by-it runs, or something spoils."""
        return self._works or bool(running_out(self._record.floor, self._record.instant()))

    @property
    def _works(self) -> bool:
        """Whether something by hand or stay-by-it runs."""
        return bool(running_by(self._record.floor, self._desk.maker_id))

    def clock(self, now_us: int) -> str:
        """Return the running clock of the state drawn last, 0:47:12; empty where the plate has none."""
        if self._clock is None:
            return ""
        before, start, end = self._clock
        return clock_text(before + (end if end is not None else now_us) - start)

    def is_stale(self, now_us: int) -> bool:
        """Whether more than the clock has to be drawn again."""
        return now_us >= self._fresh_until_us

    def state(self, now_us: int) -> BenchState:
        """Return everything that is on the screen, but the clock."""
        desk = self._desk
        eye, hand, memory = desk.eye(), desk.hand(now_us), desk.memory
        chosen = desk.chosen(hand)
        self._clock = self._clock_of(hand)
        far, next_us = self._far(now_us)
        self._fresh_until_us = min(now_us + STALE_US, next_us)
        maker = PlateMaker(desk.floor, self._usuals, eye.batch_id)
        plate = maker.make(hand, chosen, desk.method_id(hand), memory.said_now(now_us), now_us)
        caution = caution_line(desk.floor, hand, desk.opened_us, memory.touched_us)
        return BenchState(
            page=memory.page,
            far=far,
            keep_awake=self.keep_awake,
            top=tiles.top(desk.floor, eye, desk.maker_id, now_us),
            plate=with_caution(plate, caution),
            side=self._side(eye, hand, now_us),
            bottom=self._bottom(eye, hand, now_us),
            route_page=self._route_page(eye, now_us) if memory.page is BenchPage.ROUTE else None,
            far_line=summary(plate.letters) or plate.line,
            back=BenchButton("page:bench", "Back", role="raised"),
        )

    def _clock_of(self, hand: CurrentWork) -> tuple[int, int, int | None] | None:
        interval = hand.interval
        if interval is None or not interval.kind.attended:
            return None
        return chain_us(self._desk.floor, interval), interval.start_us, interval.end_us

    def _far(self, now_us: int) -> tuple[bool, int]:
        """Return whether the clock fills the screen, and when it will."""
        left_alone_s = settings.value(self._desk.floor, settings.FAR_VIEW_S)
        at = self._desk.memory.touched_us + left_alone_s * SECOND_US
        if not left_alone_s or not self._works:
            return False, now_us + STALE_US
        return now_us >= at, at if now_us < at else now_us + STALE_US

    def _side(self, eye: Selection, hand: CurrentWork, now_us: int) -> SideState | None:
        desk = self._desk
        batch = desk.floor.find(Batch, eye.batch_id or 0)
        if batch is None:
            return None
        shown = tiles.side_tiles(desk.floor, hand, eye, desk.maker_id, self._usuals, now_us)
        return SideState(
            heading=f"Other work in {batch.name}" if shown else f"No other work ready in {batch.name}",
            tiles=shown,
            whole_route=BenchButton("page:route", "Whole route", tile=True),
            route=tiles.route_shown(desk.floor, batch),
        )

    def _bottom(self, eye: Selection, hand: CurrentWork, now_us: int) -> tuple[BenchButton, ...]:
        return bottom(self._desk.floor, hand, eye, self._desk.maker_id, self._desk.undo_names, now_us)

    def _route_page(self, eye: Selection, now_us: int) -> RoutePage | None:
        desk = self._desk
        batch = desk.floor.find(Batch, eye.batch_id or 0)
        if batch is None:
            return None
        return RoutePage(
            heading=f"Whole route of {batch.name}: press a step to start it",
            tiles=tiles.route_tiles(desk.floor, batch.id, now_us),
            both=BenchButton("both", "Both at once", "stops nothing", role="raised", checked=desk.memory.both),
        )
