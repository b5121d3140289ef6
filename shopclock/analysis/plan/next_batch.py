"""The next batch in words: how many blanks to start, and its hours, stage by stage and in sum."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import DRAWS, EVEN, LIKELY, SEED, SURER, forecast, job_of
from shopclock.analysis.forecast.history import MOST_BLANKS, blanks_for, history_of
from shopclock.analysis.forecast.remaining_work import of_pattern
from shopclock.analysis.forecast.stage_forecast import ShopEstimates
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.planning.orders import open_orders, over_promised, short
from shopclock.shop.state.wording import MINUTE_US, counted, length_text, word
from shopclock.shop.values.entities import Method, Pattern
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.forecast.forecast import Forecast
    from shopclock.analysis.forecast.history import History
    from shopclock.analysis.forecast.stage_forecast import StageForecast
    from shopclock.record.read.read_only import Reads
    from shopclock.shop.state.shop_floor import ShopFloor

SHARES = (EVEN, LIKELY, SURER)


@dataclass(frozen=True, slots=True)
class StageTakes:
    """A stage of the next batch: what of it is enough every other time, 8 times in 10, 19 in 20; what that rests on."""

    stage_id: int
    name: str
    method: str
    takes: tuple[str, ...]
    rests_on: str


@dataclass(frozen=True, slots=True)
class NextBatch:
    """The answer in a sentence; blanks to start and all work in the three shares; the stages; what is odd about it."""

    whole: str
    blanks: tuple[int, ...]
    work_for: str
    takes: tuple[str, ...]
    stages: tuple[StageTakes, ...]
    notes: tuple[str, ...]


def next_batch(
    path: str, pattern_id: int, wanted: int, methods: tuple[tuple[int, int], ...], now_us: int, draws: int = DRAWS
) -> NextBatch:
    """Tell what so many finished pieces of a pattern take, its stages worked by these methods (stage, method).

    A stage without one is worked as it was last. ShopError where sixty blanks don't do.
    """
    with ReadOnlyRecord.open(Path(path)) as reading:
        floor = reading.floor
        pattern = floor.get(Pattern, pattern_id)
        blanks, told = batch_forecast(floor, reading.reads, pattern, wanted, dict(methods), now_us, draws)
        work_for = counted(floor, "piece", blanks[1])
        takes = tuple(_hours(told.hours(share)) for share in SHARES)
        return NextBatch(
            _whole(floor, told, wanted, work_for, takes[1]),
            blanks,
            work_for,
            takes if told.tells else ("–",) * len(SHARES),
            tuple(_stage(floor, told, i) for i in range(len(told.stages))),
            tuple(filter(None, (_promised(floor, pattern_id, wanted), told.said(word(floor, "batch").many)))),
        )


def batch_forecast(
    floor: ShopFloor,
    reads: Reads,
    pattern: Pattern,
    wanted: int,
    methods: dict[int, int],
    now_us: int,
    draws: int = DRAWS,
) -> tuple[tuple[int, ...], Forecast]:
    """Return the blanks to start in the three shares, and the draws of a batch of as many as do 8 times in 10.

    `methods` are those of stages by number. ShopError where sixty blanks don't do.
    """
    history = history_of(floor, reads, now_us)
    blanks = tuple(_blanks(history, wanted, share, draws) for share in SHARES)
    return blanks, _told(floor, ShopEstimates(history, now_us), pattern, blanks[1], methods, draws)


def _whole(floor: ShopFloor, told: Forecast, wanted: int, work_for: str, likely: str) -> str:
    """Say the answer: 6 finished knives: start 7 blades, 9 h 40 of work, 8 times in 10."""
    start = f"{counted(floor, 'finished', wanted)}: start {work_for}"
    if not told.tells:
        return f"{start}; how long it takes can't be told yet"
    return f"{start}, {told.at_least}{likely} of work, 8 times in 10"


def _promised(floor: ShopFloor, pattern_id: int, wanted: int) -> str:
    """Say how many of them orders wait for that have no piece; nothing where there are enough."""
    lacks = over_promised(floor).get(pattern_id, 0)
    if not lacks:
        return ""
    orders = [order for order in open_orders(floor) if order.pattern_id == pattern_id]
    who = ", ".join(f"{n} for {order.who}" for order in orders if (n := short(floor, order)))
    left = f"{wanted - lacks} can be promised" if wanted > lacks else "none can be promised"
    return (
        f"{lacks} of them are promised already, {who}: {left}."
        if wanted >= lacks
        else (f"{lacks} are promised already, {who}: {lacks - wanted} more than these.")
    )


def _blanks(history: History, wanted: int, share: float, draws: int) -> int:
    found = blanks_for(wanted, history.batches, draws, SEED, share)
    if found is None:
        raise ShopError(f"{wanted} would take more than {MOST_BLANKS} blanks, as many are lost. Ask for fewer.")
    return found


def _told(
    floor: ShopFloor, knowledge: ShopEstimates, pattern: Pattern, blanks: int, methods: dict[int, int], draws: int
) -> Forecast:
    stages = of_pattern(floor, pattern, blanks, pattern.name).stages
    chosen = [replace(s, method_id=methods.get(s.stage_id, s.method_id)) for s in stages]
    return forecast(knowledge, job_of(knowledge.history, pattern.id, blanks, chosen), draws)


def _stage(floor: ShopFloor, told: Forecast, index: int) -> StageTakes:
    stage = told.stages[index]
    method = floor.find(Method, stage.job.method_id or 0)
    takes = tuple(_hours(told.stage_hours(index, share)) if stage.known else "–" for share in SHARES)
    return StageTakes(stage.job.stage_id, stage.job.name, method.name if method else "", takes, rests_on(floor, stage))


def rests_on(floor: ShopFloor, stage: StageForecast) -> str:
    """Say what a stage's hours rest on: 14 batches; the route; nothing known."""
    if not stage.known:
        return "nothing known"
    return counted(floor, "batch", stage.n) if stage.n else "the route"


def _hours(hours: float) -> str:
    return length_text(round(hours * 60) * MINUTE_US)


def table(heads: Sequence[str], told: NextBatch) -> str:
    """Return the answer as a table in Markdown, under these heads."""
    blanks = ("To start", *map(str, told.blanks), "what was lost")
    whole = (f"**All work for {told.work_for}**", *(f"**{text}**" for text in told.takes), "")
    stages = [(f"{s.name}, {s.method}" if s.method else s.name, *s.takes, s.rests_on) for s in told.stages]
    rows = [("", *heads, "rests on"), ("---", *["---:"] * len(SHARES), "---"), blanks, whole, *stages]
    return "\n".join(f"| {' | '.join(row)} |" for row in rows)
