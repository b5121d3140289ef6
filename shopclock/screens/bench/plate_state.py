"""The plate: what it shows in each mode."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench import texts
from shopclock.screens.bench.letters import letters, pieces_button
from shopclock.screens.bench.pace import DOT, PaceLine, pace, route_us
from shopclock.screens.bench.reading import reading_button
from shopclock.screens.bench.state import BenchButton, Mode, PlateState
from shopclock.shop.state.wording import counted
from shopclock.shop.values.entities import Interval, Load, Method, Pattern
from shopclock.shop.values.kinds import Kind, WorkKind
from shopclock.shop.work.loads import blocked, in_text, wait_sentence
from shopclock.shop.work.piece_progress import eligible, over

if TYPE_CHECKING:
    from collections.abc import Collection

    from shopclock.screens.bench.current_work import CurrentWork
    from shopclock.screens.bench.pace import Usuals
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Step

ROLES = {Kind.HANDS_ON: "dye", Kind.WATCH: "straw"}
PICKS_MOST = 3
"""More methods than this are behind one button."""


class PlateMaker:
    """Makes the plate's state from the floor."""

    def __init__(self, floor: ShopFloor, usuals: Usuals, in_sight: int | None) -> None:
        self._floor = floor
        self._usuals = usuals
        self._in_sight = in_sight

    def make(
        self, hand: CurrentWork, chosen: Collection[int], method_id: int | None, said_now: str, now_us: int
    ) -> PlateState:
        """Return the plate; `said_now` is what has to be said instead of the pace."""
        if hand.mode is Mode.EMPTY:
            return _empty(self._floor)
        if hand.mode is Mode.THROUGH:
            return self._through(hand, said_now)
        if hand.mode is Mode.WAITING:
            return self._waiting(hand, said_now, now_us)
        if hand.mode is Mode.READY:
            return self._ready(hand, chosen, method_id, said_now, now_us)
        return self._clocked(hand, chosen, said_now, now_us)

    def _clocked(self, hand: CurrentWork, chosen: Collection[int], said_now: str, now_us: int) -> PlateState:
        """What runs, or was stopped."""
        interval = hand.interval
        if interval is None:
            raise ValueError(hand)
        measured = self._pace(hand, interval, now_us)
        shown = letters(self._floor, hand, chosen, now_us)
        running, name = hand.running, texts.name_of(self._floor, interval)
        large = texts.LARGE.get(interval.work, "")
        line = DOT.join(part for part in (name if large and running else "", self._line(hand, measured)) if part)
        return PlateState(
            mode=hand.mode,
            role=ROLES[interval.kind] if running else "dark",
            title=(large or name) if running else f"Stopped: {name}",
            line=said_now or line,
            urgent=bool(said_now),
            share=measured.share,
            letters=shown,
            pieces=pieces_button(shown),
            picks=self._picks(interval.stage_id, interval.method_id) if running and hand.step is not None else (),
            tools=self._tools(hand, interval),
        )

    def _line(self, hand: CurrentWork, measured: PaceLine) -> str:
        if hand.batch is None:
            return "Shop work"
        elsewhere = "" if hand.batch.id == self._in_sight else hand.batch.name
        return DOT.join(part for part in (elsewhere, measured.line) if part)

    def _pace(self, hand: CurrentWork, interval: Interval, now_us: int) -> PaceLine:
        if hand.step is None or hand.batch is None:
            return PaceLine("", None)
        usually = self._usuals.of(hand.step, hand.batch, interval.method_id)
        return pace(self._floor, interval, hand.step, usually, now_us)

    def _picks(self, stage_id: int, chosen_id: int | None) -> tuple[BenchButton, ...]:
        """One button for each method, the one in use filled."""
        methods = [m for m in self._floor.all(Method) if m.stage_id == stage_id and not m.put_away]
        if len(methods) < 2:
            return ()
        return tuple(BenchButton(f"method:{m.id}", m.name, checked=m.id == chosen_id) for m in methods)

    def _tools(self, hand: CurrentWork, interval: Interval) -> tuple[BenchButton, ...]:
        adjust, reading = BenchButton("adjust", "Adjust", "time"), reading_button(self._floor, hand)
        if not hand.running or hand.step is None or interval.work is WorkKind.REWORK:
            return (*reading, adjust)
        if interval.work is WorkKind.SETUP:
            return (*reading, BenchButton("set-up", "Now running", checked=True), adjust)
        return (*reading, BenchButton("set-up", "Set-up"), adjust)

    def _ready(
        self, hand: CurrentWork, chosen: Collection[int], method_id: int | None, said_now: str, now_us: int
    ) -> PlateState:
        """What can be started first, as the one big thing to press."""
        step, batch = hand.step, hand.batch
        if step is None or batch is None:
            raise ValueError(hand)
        shown = letters(self._floor, hand, chosen, now_us)
        usual = texts.usual_text(self._usuals.of(step, batch, method_id), route_us(self._floor, step))
        each = f"{usual} min {texts.each_text(self._floor)}" if usual else ""
        detail = DOT.join(part for part in (counted(self._floor, "piece", len(chosen)), each) if part)
        return PlateState(
            mode=hand.mode,
            role="plate",
            title=texts.batch_text(self._floor, batch),
            line=said_now or self._waiting_for(step, now_us) or "Ready to start",
            urgent=bool(said_now),
            letters=shown,
            pieces=pieces_button(shown),
            picks=self._picks(step.stage_id, method_id),
            tools=reading_button(self._floor, hand),
            big=BenchButton(f"start:{step.id}", f"Start: {step.name}", detail, role=ROLES.get(step.kind, "raised")),
        )

    def _waiting(self, hand: CurrentWork, said_now: str, now_us: int) -> PlateState:
        """Everything waits: what for, and until when."""
        interval, batch = hand.interval, hand.batch
        if interval is None or batch is None:
            raise ValueError(hand)
        wait = texts.wait_text(self._floor, interval, now_us)
        load = self._floor.find(Load, interval.load_id or 0)
        letters_in = texts.letters_text(self._floor, interval.pieces)
        who = in_text(self._floor, load) if load is not None else letters_in
        asks = "press to take out" if over(self._floor, interval, now_us) else f"{who}  ·  press to take out early"
        return PlateState(
            mode=hand.mode,
            role="plate",
            title=texts.batch_text(self._floor, batch),
            line=said_now or "Nothing to do by hand in this batch now",
            urgent=bool(said_now),
            big=BenchButton(
                f"out:{interval.id}", f"{texts.name_of(self._floor, interval)} {wait}", asks, role="raised"
            ),
        )

    def _waiting_for(self, step: Step, now_us: int) -> str:
        """Say which pieces that are ready for a step wait for its tool."""
        found = blocked(self._floor, step, eligible(self._floor, step, now_us), (), now_us)
        return wait_sentence(self._floor, found, now_us) if found is not None else ""

    def _through(self, hand: CurrentWork, said_now: str) -> PlateState:
        batch = hand.batch
        if batch is None:
            raise ValueError(hand)
        living = [p.id for p in self._floor.living(batch.id)]
        if any(p.set_aside for p in self._floor.living(batch.id)):
            line = "What is left is set aside."
        elif living:
            line = f"{counted(self._floor, 'piece', len(living))} through the whole route."
        else:
            line = "No piece is left in it."
        return PlateState(
            mode=hand.mode,
            role="plate",
            title=texts.batch_text(self._floor, batch),
            line=said_now or line,
            urgent=bool(said_now),
            big=BenchButton("go:batches", "Close it in Batches", role="raised"),
        )


def _empty(floor: ShopFloor) -> PlateState:
    """No batch is open: the way to one, or to a first pattern before it."""
    line, big = (
        "Pattern, how many, go: three presses, and it can be timed here.",
        ("go:batches", "Batches", "make a batch"),
    )
    if all(pattern.put_away for pattern in floor.all(Pattern)):
        line = "A route to begin with, then how many: it can be timed here."
        big = ("go:copy", "Copy a route", "to begin with")
    return PlateState(
        mode=Mode.EMPTY, role="plate", title="No batch is open", line=line, big=BenchButton(*big, role="primary")
    )
