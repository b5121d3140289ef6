"""Presenter of Today. No Qt."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from shopclock.screens.base_presenter import BasePresenter
from shopclock.screens.bench.act_words import taken
from shopclock.screens.today import tiles
from shopclock.screens.today.state import QuietAsked, Section, TodayState, TodayVerb
from shopclock.shop.figures.sessions import share_off
from shopclock.shop.planning.quiet_weeks import QuietAnswer, QuietWeeks, answer_quiet, quiet_weeks
from shopclock.shop.planning.ready_work import KnownMinutes, known
from shopclock.shop.planning.today import today
from shopclock.shop.state.shop_floor import Memo
from shopclock.shop.state.wording import MINUTE_US, length_text, zone_of
from shopclock.shop.values.entities import Pattern
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work.acts import start_act
from shopclock.shop.work.day import day_of, day_span
from shopclock.views.button import Button, Press

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from datetime import date
    from enum import StrEnum

    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.screens.bench.presenter import Begin
    from shopclock.shop.figures.trend_rows import TrendRow
    from shopclock.shop.planning.today import Today
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Step
    from shopclock.views.dialogs import Dialogs

_KNOWN: Memo[int, KnownMinutes] = Memo()
_ROWS: Memo[None, tuple[TrendRow, ...]] = Memo()
_QUIET: Memo[date, tuple[QuietWeeks, ...]] = Memo()
ANSWERS: dict[StrEnum, QuietAnswer] = {
    TodayVerb.UNTIMED: QuietAnswer.UNTIMED,
    TodayVerb.NOTHING_DONE: QuietAnswer.NOTHING,
    TodayVerb.DAYS_OFF: QuietAnswer.OFF,
}
TIMES_MIN = (20, 40, 60, 90, tiles.HALF_A_DAY_MIN)
FIRST_MIN = 40
STEP_MIN = 10
MOST_MIN = 600
STALE_US = 10_000_000
"""How old what is on the screen can be: minutes left, waits that are over by now."""
SESSIONS_US = 120 * 24 * 3600 * 1_000_000
"""How far back the last sessions are looked for."""
NO_ROUTE = "No batch is open yet. Copy a route that comes near, or bring in old notes."
GO_TO: dict[StrEnum, str] = {TodayVerb.TO_BATCHES: "batches", TodayVerb.TO_ROUTES: "copy"}
OFFERED = (
    ("the shop", "Name of the shop", "its address, money, paper"),
    ("look and sizes", "Ruler", "buttons as large as they should be"),
    ("old notes", "Old notes", "from a spreadsheet"),
)
"""Where a new shop may look: the page of Shop, its title, what is there."""
NO_BATCH = "No batch is open. A new one begins in Batches."
ALL_THROUGH = "Nothing is ready and nothing cooks. What is through can be closed in Batches."


class Hands(Protocol):
    """Maker whose hands a start is for, where several work at the bench."""

    @property
    def front_names(self) -> str:
        """Name of the maker; empty where one works alone."""

    @property
    def maker_id(self) -> int:
        """Number of the maker."""

    def turn_front(self) -> None:
        """Have the next of them instead."""


class TodayPresenter(BasePresenter):
    """Today. `stage_rows` reads the rows of all batches; `begin` starts a step at the Bench by `hands`."""

    def __init__(
        self,
        record: Record,
        dialogs: Dialogs,
        stage_rows: Callable[[], Sequence[TrendRow]],
        begin: Begin,
        go: ShowScreen,
        hands: Hands | None = None,
    ) -> None:
        super().__init__(record, dialogs)
        self._hands = hands
        self._begin = begin
        self._read = stage_rows
        self._go = go
        self._have_min = FIRST_MIN
        self._off: tuple[date, float | None] | None = None
        self._fresh_until_us = 0

    def instant(self) -> int:
        """The instant it is now, in microseconds UTC."""
        return self.record.instant()

    def is_stale(self, now_us: int) -> bool:
        """True if what was shown last may have changed by itself."""
        return now_us >= self._fresh_until_us

    def press(self, press: Press, moment: Moment | None = None) -> None:
        """Choose the time there is, start something, or go where it is."""
        if press.verb is TodayVerb.HAVE:
            self._have_min = press.number
        elif press.verb is TodayVerb.LESS:
            self._have_min = max(STEP_MIN, self._have_min - STEP_MIN)
        elif press.verb is TodayVerb.MORE:
            self._have_min = min(MOST_MIN, self._have_min + STEP_MIN)
        elif press.verb is TodayVerb.WHO and self._hands is not None:
            self._hands.turn_front()
        elif press.verb in ANSWERS:
            self._answer_quiet(press, moment)
        elif (there := _leads_to(press)) is not None:
            self._go(*there)
        else:
            self._start(press, moment)

    def state(self, now_us: int) -> TodayState:
        """Return everything that is on the screen."""
        self._fresh_until_us = now_us + STALE_US
        found = self._today(now_us)
        bands = tuple(
            tiles.band(self.floor, spoils, now_us, self._taken(spoils.then, spoils.takes or spoils.pieces))
            for spoils in found.spoils
        )
        ready = self._ready(found)
        cooking = tuple(tiles.cooking_tile(self.floor, cooking, now_us) for cooking in found.cooking)
        cooking += tuple(tiles.waiting_tile(self.floor, waiting, now_us) for waiting in found.waiting)
        preset = self._have_min in TIMES_MIN
        return TodayState(
            have="I have" if preset else f"I have {length_text(self._have_min * MINUTE_US)}",
            times=tuple(self._times()),
            bands=bands,
            ready=ready,
            cooking=Section("Cooking", cooking) if cooking else None,
            way=None if found.fits or found.longer or bands or cooking else self._way(),
            undo=self.undo_in_full,
            offered=self._offered() if self._no_route() else (),
            quiet=self._quiet_asked(now_us),
        )

    def _quiet_asked(self, now_us: int) -> QuietAsked | None:
        """The newest weeks in which nothing was timed though a batch was open, until somebody says what they were."""
        found = self._quiet(now_us)
        if not found:
            return None
        number = found[0].first.toordinal()
        answers = tuple(Button(a, role="raised", key=Press(v, number)) for v, a in ANSWERS.items())
        return QuietAsked(f"{found[0].said}: nothing was timed. Did you work?", answers)

    def _quiet(self, now_us: int) -> tuple[QuietWeeks, ...]:
        """Quiet weeks, looked up once a day and press."""
        day, known = day_of(now_us, zone_of(self.floor)), self.floor.memo(_QUIET)
        if day not in known:
            try:
                known[day] = quiet_weeks(self.floor, self.any_work, now_us)
            except ShopError as error:
                known[day] = ()
                self.dialogs.tell(str(error))
        return known[day]

    def _answer_quiet(self, press: Press, moment: Moment | None) -> None:
        """Say what the weeks that were asked about were; older ones are asked about next."""
        asked = next((w for w in self._quiet(self.instant()) if w.first.toordinal() == press.number), None)
        if asked is not None:
            answer = ANSWERS[press.verb]
            self._press(f"{asked.said}: {answer}", lambda tx: answer_quiet(tx, asked, answer), moment)

    def _start(self, press: Press, moment: Moment | None) -> None:
        """Start a step with the pieces it was offered for, and show it at the Bench."""
        found = self._today(self.record.instant(moment))
        if press.verb is TodayVerb.SPOILS:
            offered = {s.then.id: (s.then, s.takes or s.pieces) for s in reversed(found.spoils)}
        else:
            offered = {w.step.id: (w.step, w.pieces) for w in (*(fit.work for fit in found.fits), *found.longer)}
        if press.number not in offered:
            return
        step, pieces = offered[press.number]
        if self._begin(step, pieces, moment):
            self._go("bench", step.batch_id)

    def _taken(self, step: Step, pieces: tuple[int, ...]) -> list[str]:
        """Say who comes out of a wait when a step is started with these pieces."""
        maker_id = self._hands.maker_id if self._hands is not None else self.record.maker.id
        act = start_act(self.floor, maker_id, step, self.instant(), pieces)
        return taken(self.floor, maker_id, act) if act is not None else []

    def _times(self) -> Iterable[Button]:
        for minutes in TIMES_MIN:
            title = "half a day" if minutes == tiles.HALF_A_DAY_MIN else f"{minutes} min"
            checked = minutes == self._have_min
            yield Button(title, checked=checked, key=Press(TodayVerb.HAVE, minutes))
        yield Button("\N{MINUS SIGN}", key=Press(TodayVerb.LESS))
        yield Button("+", key=Press(TodayVerb.MORE))
        if self._hands is not None and self._hands.front_names:
            yield Button(self._hands.front_names, "starts it", role="raised", key=Press(TodayVerb.WHO))

    def _ready(self, found: Today) -> tuple[Section, ...]:
        have = tiles.have_text(self._have_min)
        floor, have_us = self.floor, found.have_us
        fits = tuple(
            tiles.fit_tile(floor, f, have_us, self._known(f.work.step).usual, self._taken(f.work.step, f.work.pieces))
            for f in found.fits
        )
        longer = tuple(
            tiles.longer_tile(floor, work, have_us, self._taken(work.step, work.pieces)) for work in found.longer
        )
        unknown = any(work.whole_us is None for work in found.longer)
        heading = f"Ready, and fits in {have}" if fits else f"Nothing that is ready fits in {have}."
        if not fits and not longer:
            heading = self._nothing(found)
        after = "Ready, takes longer or nobody knows yet" if unknown else "Ready, takes longer"
        return (Section(heading, fits), *([Section(after, longer)] if longer else []))

    def _offered(self) -> tuple[Button, ...]:
        """Ways for a new shop to say who it is and to bring things in; nothing waits for it."""
        return tuple(
            Button(title, detail, key=Press(TodayVerb.OFFERED, n)) for n, (_, title, detail) in enumerate(OFFERED)
        )

    def _way(self) -> Button:
        """Way to go when there is nothing to do here."""
        if self._no_route():
            return Button("Copy a route", "to begin with", role="primary", key=Press(TodayVerb.TO_ROUTES))
        return Button("Batches", role="primary", key=Press(TodayVerb.TO_BATCHES))

    def _no_route(self) -> bool:
        return not self.floor.open_batches() and all(pattern.put_away for pattern in self.floor.all(Pattern))

    def _nothing(self, found: Today) -> str:
        if not self.floor.open_batches():
            return NO_ROUTE if self._no_route() else NO_BATCH
        if found.cooking or found.spoils:
            return "Nothing else is ready."
        running = any(i.kind.attended for i in self.floor.running.values())
        return "Nothing else is ready: the rest is at the Bench." if running else ALL_THROUGH

    def _today(self, now_us: int) -> Today:
        return today(self.floor, now_us, self._have_min * MINUTE_US, self._known, self._share_off(now_us))

    def _known(self, step: Step) -> KnownMinutes:
        """Minutes of a step by the rows of all batches, worked out once until the next press."""
        found = self.floor.memo(_KNOWN)
        if step.id not in found:
            found[step.id] = known(self.floor, self._rows(), step)
        return found[step.id]

    def _rows(self) -> tuple[TrendRow, ...]:
        """The rows of all batches; none, and a sentence, where they can't be read."""
        found = self.floor.memo(_ROWS)
        if None not in found:
            try:
                found[None] = tuple(self._read())
            except ShopError as error:
                found[None] = ()
                self.dialogs.tell(str(error))
        return found[None]

    def _share_off(self, now_us: int) -> float | None:
        """Share of a session that is work taken off, from the sessions before this day."""
        zone = zone_of(self.floor)
        day = day_of(now_us, zone)
        if self._off is None or self._off[0] != day:
            begins, _ = day_span(day, zone)
            try:
                worked = self.record.reads.worked(begins - SESSIONS_US)
            except ShopError as error:
                self.dialogs.tell(str(error))
                worked = ()
            self._off = (day, share_off((w for w in worked if w.end_us <= begins), zone))
        return self._off[1]


def _leads_to(press: Press) -> tuple[str] | tuple[str, int] | None:
    """Return the screen that a press goes to, and the batch there; nothing where it doesn't go anywhere."""
    if press.verb is TodayVerb.BENCH:
        return "bench", press.number
    if press.verb is TodayVerb.OFFERED:
        return (OFFERED[press.number][0],)
    return (GO_TO[press.verb],) if press.verb in GO_TO else None
