"""Past forecasts beside what came of them: hours beside hours, dates beside dates."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import LIKELY, Honesty, at, hours_held
from shopclock.analysis.forecast.remaining_work import MINUTE_US, of_pattern
from shopclock.analysis.forecast.shop_hours import ENOUGH_WEEKS, week_yields
from shopclock.analysis.plan.plan import PlanChange, Planner, plan
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Batch, Pattern
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from shopclock.analysis.forecast.history import Done

LAST = 9
DRAWS = 500


def dates_held(planner: Planner, last: int = LAST, draws: int = DRAWS) -> Honesty:
    """Date each of the last closed batches as it would have been when it began, and count those closed by that day.

    Known then: the batches closed before, the weeks before. The work that was done meanwhile on batches already open
    counts as done first, the route and the week are those of now. Batches begun with fewer than four weeks known tell
    nothing.
    """
    told = [_by_then(planner, done, draws) for done in planner.knowledge.history.batches[-last:]]
    held = [one for one in told if one is not None]
    return Honesty(sum(held), len(held))


def _by_then(planner: Planner, done: Done, draws: int) -> bool | None:
    """Tell whether a batch was closed by the day that would have been told; nothing where none would."""
    floor, knowledge = planner.floor, planner.knowledge.before(done)
    batch = floor.find(Batch, done.batch_id)
    yields = week_yields(floor, planner.rows, done.started_us)
    if batch is None or len(yields) < ENOUGH_WEEKS or not knowledge.history.batches:
        return None
    work = of_pattern(floor, floor.get(Pattern, batch.pattern_id), done.pieces, "", planner.away_min)
    first = PlanChange(first_min=_meanwhile(planner, done))
    try:
        found = plan(floor, knowledge, [work], yields, done.started_us, first, draws)
    except ShopError:  # no hours, or rules in a circle: then nothing is dated today either
        return None
    return (done.closed_us - done.started_us) / MINUTE_US <= at(found.done(0), LIKELY) + DAY_MIN


DAY_MIN = 24 * 60
"""A date is a day: by its end is by then."""


def _meanwhile(planner: Planner, done: Done) -> float:
    """Return the minutes of work done on batches that were open when a batch began, until it was closed."""
    others = {one.batch_id for one in planner.knowledge.history.batches if one.started_us < done.started_us}
    rows = (r for r in planner.rows if r.batch_id in others and done.started_us <= r.start_us < done.closed_us)
    return sum(row.labour_us or 0 for row in rows) / MINUTE_US


def forecasts_held(path: str, now_us: int) -> str:
    """Say how often such forecasts were right for past batches: their hours, and their dates."""
    with ReadOnlyRecord.open(Path(path)) as reading:
        planner = Planner(reading.floor, reading.reads, now_us)
        batches = word(reading.floor, "batch").many
        hours, dates = hours_held(planner.knowledge), dates_held(planner)
        told = f"{hours.text(batches)}.".capitalize()
        if not dates.n:
            return told
        return f"{told} {dates.held} of the last {dates.n} were done by the day that would have been told."
