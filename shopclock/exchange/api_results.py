"""Small results for scripts and notebooks: the trend of a stage, and what a batch to come takes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, NamedTuple, TypeVar

from shopclock.exchange.names import named
from shopclock.shop.state.wording import counted
from shopclock.shop.values.entities import Method, Pattern, Stage

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shopclock.analysis.learning.stage_answer import MethodAnswer
    from shopclock.record.read.read_only import ReadOnlyRecord
    from shopclock.shop.state.shop_floor import ShopFloor

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class NextPieces:
    """Minutes per piece that the next batch of a pattern is thought to take, with its 80 % and 95 % ranges.

    Run minutes; where a method's set-up was not told apart, they are with it.
    """

    pattern: str
    minutes: float
    low_80: float
    high_80: float
    low_95: float
    high_95: float


@dataclass(frozen=True, slots=True)
class Trend:
    """Trend of a stage by one method: `verdict` in the words of Trends, from so many `batches`.

    `rate` is what is left of the minutes each time the count doubles (0.89: 11 % quicker), `rate_low` and `rate_high`
    its 95 % range; None, and `why` says it, where there are not enough batches. `made` are the pieces so far.
    """

    stage: str
    method: str
    verdict: str
    batches: int
    made: int
    rate: float | None
    rate_low: float | None
    rate_high: float | None
    next_pieces: tuple[NextPieces, ...]
    why: str = ""

    def __str__(self) -> str:
        """The trend in a line."""
        where = ", ".join(part for part in (self.stage, self.method) if part)
        if self.rate is None or self.rate_low is None or self.rate_high is None:
            return f"{where}: {self.why}"
        change, span = _percent(self.rate), sorted((_percent(self.rate_low), _percent(self.rate_high)))
        return (
            f"{where}: {self.verdict}; each time the count doubles {change:+d} % minutes "
            f"({span[0]:+d} to {span[1]:+d} %), from {self.batches} batches"
        )


def _percent(rate: float) -> int:
    return round((rate - 1) * 100)


class Shares(NamedTuple, Generic[T]):
    """Amounts that are enough every other time, 8 times in 10, 19 times in 20."""

    even: T
    likely: T
    surer: T


@dataclass(frozen=True, slots=True)
class StageHours:
    """Hours of a stage, None where nothing is known of it; from so many batches, 0 where it goes by the route."""

    stage: str
    method: str
    hours: Shares[float | None]
    batches: int


@dataclass(frozen=True, slots=True)
class Forecast:
    """Forecast of so many finished pieces of a pattern: blanks to start, and hours of labour for `blanks.likely`.

    Hours are None where nothing is known, and at least that where `at_least`. `note` says what does not come from the
    shop's own batches.
    """

    pattern: str
    wanted: int
    blanks: Shares[int]
    hours: Shares[float | None]
    at_least: bool
    stages: tuple[StageHours, ...]
    note: str


def trends(reading: ReadOnlyRecord, stage: str) -> tuple[Trend, ...]:
    """Return the trend of a stage by each of its methods, the one worked last first; ShopError without such a stage."""
    from shopclock.analysis.learning.stage_answer import answer_of

    floor = reading.floor
    found = named([s for s in floor.all(Stage) if not s.shop_work], stage, lambda one: one.name, "stage")
    answer = answer_of(floor, reading.reads.stage_rows(reading.newest_us), found.id)
    methods = sorted(answer.methods, key=lambda one: one is not answer.main)
    return tuple(_trend(floor, found, method) for method in methods)


def _trend(floor: ShopFloor, stage: Stage, found: MethodAnswer) -> Trend:
    from shopclock.analysis.learning.answer import NoAnswer
    from shopclock.analysis.model.verdict import Verdict

    method = floor.find(Method, found.trend.method_id or 0)
    made = sum(lot.pieces for lot in found.trend.lots)
    names = (stage.name, method.name if method is not None else "")
    ahead = tuple(
        NextPieces(
            floor.get(Pattern, number).name, one.minutes, one.in_80.low, one.in_80.high, one.in_95.low, one.in_95.high
        )
        for number, one in found.next_batch.items()
    )
    change = found.change
    if isinstance(change, NoAnswer):
        why = change.text(counted(floor, "batch", 2).partition(" ")[2])
        return Trend(*names, Verdict.FEW.value, change.n, made, None, None, None, ahead, why)
    low, high = change.rates.low, change.rates.high
    return Trend(*names, change.verdict.value, change.n, made, change.rate, low, high, ahead)


def forecast(reading: ReadOnlyRecord, pattern: str, wanted: int, methods: Mapping[str, str]) -> Forecast:
    """Return what so many finished ones of a pattern take, stages worked by `methods` (stage: method), else as last.

    ShopError where a name is unknown, or sixty blanks don't do.
    """
    from shopclock.analysis.forecast.forecast import DRAWS
    from shopclock.analysis.plan.next_batch import SHARES, batch_forecast

    floor = reading.floor
    found = named([one for one in floor.all(Pattern) if not one.put_away], pattern, lambda one: one.name, "pattern")
    chosen = dict(_method(floor, stage, method) for stage, method in methods.items())
    blanks, told = batch_forecast(floor, reading.reads, found, wanted, chosen, reading.newest_us, DRAWS)
    hours = Shares(*(told.hours(share) if told.tells else None for share in SHARES))
    stages = []
    for number, stage in enumerate(told.stages):
        method = floor.find(Method, stage.job.method_id or 0)
        takes = Shares(*(told.stage_hours(number, share) if stage.known else None for share in SHARES))
        stages.append(StageHours(stage.job.name, method.name if method is not None else "", takes, stage.n))
    return Forecast(found.name, wanted, Shares(*blanks), hours, bool(told.unknown), tuple(stages), told.said())


def _method(floor: ShopFloor, stage: str, method: str) -> tuple[int, int]:
    """Return a stage and its method by their numbers."""
    of = named([s for s in floor.all(Stage) if not s.shop_work], stage, lambda one: one.name, "stage")
    methods = [one for one in floor.all(Method) if one.stage_id == of.id]
    return of.id, named(methods, method, lambda one: one.name, f"method of {of.name}").id
