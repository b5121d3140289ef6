"""What a change would do to the plan: more hours, larger tools, work sent out, another batch size."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.analysis.forecast import EVEN, LIKELY, QUICK_DRAWS, at
from shopclock.analysis.plan_told import days_text
from shopclock.analysis.planner import Planner
from shopclock.record.reading import Reading
from shopclock.shop.values import Pattern
from shopclock.shop.wording import MINUTE_US, counted, day_text, length_text, shop_time, word, zone_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.plan import Plan
    from shopclock.analysis.planner import Gain
    from shopclock.shop.floor import Floor

TELLING = 0.5
"""Days below which a change makes no difference that a plan in days can tell."""


@dataclass(frozen=True, slots=True)
class WhatIf:
    """What is looked at, a sentence for each change, the best first, and what another size of a new batch does."""

    whole: str
    changes: tuple[str, ...]
    sizes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Size:
    """A new batch of so many, worked after all that are open."""

    pieces: int
    done_min: float
    done: str
    hours_each: float | None


def what_if(path: str, now_us: int, pattern_id: int, sizes: tuple[int, int]) -> WhatIf:
    """Try the changes on the last of the open batches, and two sizes of a new one of a pattern, few draws each.

    Where no batch is open the changes are tried on the new one.
    """
    with Reading.open(Path(path)) as reading:
        floor = reading.floor
        planner = Planner(floor, reading.reads, now_us)
        pattern = floor.get(Pattern, pattern_id)
        more = () if planner.open else (planner.new(pattern, sizes[0]),)
        index = len(planner.open) + len(more) - 1
        found = planner.plan(*more, draws=QUICK_DRAWS)
        tried = (*planner.usual_changes(*more), *planner.sent_out_changes(*more))
        gains = planner.gains(index, *more, changes=tried) if tried else ()
        name = found.batches[index].name
        whole = f"{name} is done by {_day(floor, found, at(found.done(index), LIKELY))}, 8 times in 10"
        told = [_size(planner, pattern, n) for n in sizes]
        return WhatIf(whole, tuple(map(gain_text, gains)), size_texts(floor, pattern, told))


def gain_text(gain: Gain) -> str:
    """Say what a change does: One more evening a week: 11 days sooner."""
    what = f"{gain.what[:1].upper()}{gain.what[1:]}"
    if abs(gain.days) < TELLING:
        return f"{what}: no difference"
    return f"{what}: {days_text(gain.days)} {'sooner' if gain.days > 0 else 'later'}"


def _size(planner: Planner, pattern: Pattern, pieces: int) -> Size:
    found = planner.plan(planner.new(pattern, pieces), draws=QUICK_DRAWS)
    told, done = found.forecasts[-1], at(found.done(len(found.batches) - 1), LIKELY)
    finished = int(at(told.finished, EVEN))
    each = at(told.total_min, EVEN) / 60 / finished if finished else None
    return Size(pieces, done, _day(planner.floor, found, done), each)


def _day(floor: Floor, found: Plan, minutes: float) -> str:
    if minutes > found.hours.ends[-1]:
        return "a day more than two years off"
    return day_text(shop_time(found.hours.now_us + round(minutes * MINUTE_US), zone_of(floor)).date())


def size_texts(floor: Floor, pattern: Pattern, told: Sequence[Size]) -> tuple[str, ...]:
    """Say for each size of a new batch by when it is done, and what a finished piece takes of the hands."""
    one = word(floor, "finished").one
    lines = []
    for size in told:
        line = f"{counted(floor, 'piece', size.pieces)} of {pattern.name}: done by {size.done}"
        if size.hours_each is not None:
            line += f"; about {length_text(round(size.hours_each * 60) * MINUTE_US)} of work for each finished {one}"
        lines.append(line)
    return tuple(lines)
