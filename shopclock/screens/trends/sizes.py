"""Set-up in sentences and as a chart: what it leaves on each piece as the batch grows, with each load set up again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import Range
from shopclock.analysis.learning.setup import FittedSetup, PressedSetup, batch_size_curve, loads
from shopclock.screens.trends.shown import pattern_name
from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.state.wording import minutes_text, word
from shopclock.shop.values.entities import Pattern, Tool
from shopclock.shop.values.habits import figure
from shopclock.views.chart_picture import Ahead, Band, Picture, Series

if TYPE_CHECKING:
    from shopclock.analysis.learning.setup import SizePoint
    from shopclock.screens.trends.shown import Shown

SIZES = 20
"""The largest batch that is drawn, unless there has been a larger one."""


def load_size(shown: Shown) -> int | None:
    """Return how many pieces a stage's tool takes at once by the pattern's route; nothing where they go one by one."""
    pattern = shown.floor.find(Pattern, shown.pattern_id)
    if pattern is None:
        return None
    steps = route_steps(shown.floor, newest_route(shown.floor, pattern))
    own = ((step, step.tool_id) for step in steps if step.stage_id == shown.answer.trend.stage_id)
    held = ((shown.floor.get(Tool, number).capacity, step.tool_share) for step, number in own if number is not None)
    sizes = (int(capacity / share + 1e-9) for capacity, share in held if capacity is not None)
    return next((size for size in sizes if size > 1), None)


def setup_minutes(shown: Shown) -> tuple[float, Range | None] | None:
    """Return minutes of set-up a load with its range, pressed or told from the sizes; nothing where it isn't known."""
    pressed, told = shown.main.pressed, shown.main.setup
    if isinstance(pressed, PressedSetup):
        size, pieces = load_size(shown), [lot.pieces for lot in shown.main.trend.counted if lot.setup_us]
        share = 1 / (sum(loads(n, size) for n in pieces) / len(pieces))
        ends = pressed.per_batch.range
        return pressed.per_batch.minutes * share, Range(ends.low * share, ends.high * share) if ends else None
    if isinstance(told, FittedSetup) and told.usable:
        return told.minutes, told.range
    return None


def run_minutes(shown: Shown) -> float | None:
    """Return run minutes per piece of the next batch, without set-up; nothing without a forecast."""
    found, known, n = shown.main.next_batch.get(shown.pattern_id), setup_minutes(shown), shown.main.ahead
    if found is None or known is None:
        return None
    inside = shown.with_setup or shown.main.trend.counted[0].setup_us == 0
    return max(0.0, found.minutes - known[0] * loads(n, load_size(shown)) / n) if inside else found.minutes


def setup_sentence(shown: Shown) -> str:
    """Say what set-up takes, and what of it falls on a piece: set-up takes 6.0 min a batch (5.5 to 6.6): …."""
    found, floor = setup_minutes(shown), shown.floor
    if found is None:
        return f"{shown.subject}: set-up is not known apart from run."
    minutes, ends = found
    batch, n, size = word(floor, "batch").one, shown.main.ahead, load_size(shown)
    said = f"{minutes_text(minutes)} min a {word(floor, 'load').one if size else batch}"
    known = f"{said} ({minutes_text(ends.low)} to {minutes_text(ends.high)})" if ends else said
    other = size if size and size != n else 2 * n
    one, two = (figure(minutes * loads(many, size) / many) for many in (n, other))
    return f"Set-up takes {known}: {one} {shown.a_piece} in a {batch} of {n}, {two} in {other}."


def beside_setup(shown: Shown) -> str:
    """Say what a larger batch does to it."""
    batch, many, size = word(shown.floor, "batch").one, shown.piece.many, load_size(shown)
    if size is None:
        return f"the more {many} in a {batch}, the less set-up falls on each"
    load = word(shown.floor, "load")
    return f"a {load.one} holds {size}; each further {load.one} is set up again"


def size_picture(shown: Shown) -> Picture | None:
    """Return minutes per piece against the size of the batch; nothing where set-up isn't known."""
    known, run = setup_minutes(shown), run_minutes(shown)
    if known is None or run is None:
        return None
    most = max(SIZES, *(lot.pieces for lot in shown.main.trend.lots))
    sizes = batch_size_curve(known[0], run, range(1, most + 1), load_size(shown), known[1])
    n = shown.main.ahead
    here, ends = sizes[n - 1], _ends(sizes[n - 1])
    role, shape, dashed = shown.mark(shown.main)
    name, batch = shown.name(shown.main), word(shown.floor, "batch").one
    return Picture(
        series=(Series(name, "run and set-up", role, shape, dashed, (), _band(sizes)),),
        ticks=None,
        first_x=0.0,
        last_x=float(most),
        unit=f"{shown.a_piece}, {pattern_name(shown.floor, shown.pattern_id)}",
        below=f"{shown.piece.many} in a {batch}",
        ahead=Ahead(float(n), here.minutes, ends.low, ends.high, f"{batch} of {n}: {figure(here.minutes)}"),
    )


def _band(sizes: tuple[SizePoint, ...]) -> Band:
    ends = [_ends(size) for size in sizes]
    xs, middles = tuple(float(s.pieces) for s in sizes), tuple(s.minutes for s in sizes)
    return Band(xs, tuple(e.low for e in ends), middles, tuple(e.high for e in ends))


def _ends(size: SizePoint) -> Range:
    return size.range or Range(size.minutes, size.minutes)
