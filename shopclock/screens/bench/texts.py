"""The short texts that the Bench says the same way everywhere."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.state.shop_floor import since_us
from shopclock.shop.state.wording import counted, ended_text, minutes_text, range_text, when_text, zone_of
from shopclock.shop.values.entities import Batch, Interval, Load, Pattern, Stage, Step, Tool
from shopclock.shop.values.kinds import Kind, Outcome, StepState
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.piece_progress import over, ready_at

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from shopclock.shop.figures.trend_rows import Usual
    from shopclock.shop.state.shop_floor import ShopFloor

DOT = "  ·  "
ENDED = {
    Outcome.SCRAPPED: "lost",
    Outcome.CUT_DOWN: "cut down",
    Outcome.KEPT: "kept",
    Outcome.FINISHED: "finished",
    Outcome.SECOND: "second",
}
"""The word under the letter of a piece that has ended."""


def capital(text: str) -> str:
    """Begin a text with a capital."""
    return f"{text[:1].upper()}{text[1:]}"


def batch_text(floor: ShopFloor, batch: Batch) -> str:
    """Say a batch: 26-11 Paring 95."""
    return f"{batch.name}  {floor.get(Pattern, batch.pattern_id).name}"


def of_batch(floor: ShopFloor, interval: Interval) -> str:
    """Name the batch of an interval; nothing for shop work."""
    return floor.get(Batch, interval.batch_id).name if interval.batch_id is not None else ""


def name_of(floor: ShopFloor, interval: Interval) -> str:
    """Say what an interval is spent at: its step, or its stage where it is shop work."""
    if interval.step_id is not None:
        return floor.get(Step, interval.step_id).name
    return floor.get(Stage, interval.stage_id).name


def letters_text(floor: ShopFloor, pieces: Iterable[int]) -> str:
    """Say pieces by letter: A–G."""
    found = floor.marks(pieces)
    return spoken(found) if found else ""


def wait_text(floor: ShopFloor, interval: Interval, now_us: int) -> str:
    """Say until when a wait lasts, or how long ago it ended; what was sent out is back when somebody says so."""
    zone = zone_of(floor)
    at = ready_at(floor, interval)
    if at is None:
        return f"since {when_text(since_us(floor, interval), now_us, zone)}"
    if over(floor, interval, now_us):
        away = interval.kind is Kind.AWAY
        return f"due back since {when_text(at, now_us, zone)}" if away else ended_text(at, now_us, zone)
    return f"until {when_text(at, now_us, zone)}"


def early_text(floor: ShopFloor, early: Sequence[Interval], now_us: int) -> str:
    """Say that a load came out before its time: A–D came out of Cure, which was on until tomorrow 17:14."""
    who = letters_text(floor, [piece for one in early for piece in one.pieces])
    last = early[-1]
    until = wait_text(floor, last, now_us)
    return f"{who} came out of {name_of(floor, last)}, {'which was on ' if until.startswith('until') else ''}{until}."


def on_text(floor: ShopFloor, interval: Interval, now_us: int) -> str:
    """Say that something is on, in a sentence's first half: Temper 1 of 26-12 is on until 20:55."""
    of = f" of {floor.get(Batch, interval.batch_id).name}" if interval.batch_id is not None else ""
    if interval.kind.attended:
        return f"{name_of(floor, interval)}{of} still runs"
    said = wait_text(floor, interval, now_us)
    if over(floor, interval, now_us):
        joined = "" if said.startswith(("ended", "just")) else " is"
    else:
        joined = " is away" if interval.kind is Kind.AWAY else " is on"
    return f"{name_of(floor, interval)}{of}{joined} {said}"


def in_tool_text(floor: ShopFloor, interval: Interval) -> str:
    """Say in which tool a wait is, so that nobody locks the shop without a thought for it; else nothing."""
    load = floor.find(Load, interval.load_id)
    return f" ({floor.get(Tool, load.tool_id).name})" if load is not None and interval.kind is Kind.WAIT else ""


def each_text(floor: ShopFloor) -> str:
    """Say 'a blade' in the shop's own word."""
    return f"a {counted(floor, 'piece', 1).partition(' ')[2]}"


def usual_text(usual: Usual | None, route_us: int | None) -> str:
    """Say what a stage usually takes per piece, or what the route says of it."""
    if usual is not None and usual.low_min is not None and usual.high_min is not None:
        return f"usual {range_text(usual.low_min, usual.high_min)}"
    if usual is not None:
        return f"last {minutes_text(usual.last_min)}"
    return f"about {route_us / 60e6:.0f}" if route_us else ""


def route_us(floor: ShopFloor, step: Step) -> int | None:
    """Microseconds a piece that the route says of a step's stage: all its steps added up."""
    steps = [s for s in floor.steps(step.batch_id) if s.stage_id == step.stage_id and s.state is StepState.TIMED]
    return sum(s.minutes_us or 0 for s in steps) or None
