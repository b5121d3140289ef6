"""What the Plan screen is told, worked out beside the window: texts, ready to be shown."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import DRAWS, forecast, honesty, job_of
from shopclock.analysis.forecast.history import history_of
from shopclock.analysis.money.cost import NO_ADVICE, asked_said, piece_cost, with_tax
from shopclock.analysis.money.earnings import made_median, price_range, spread
from shopclock.analysis.plan.planner import Planner
from shopclock.analysis.plan.promise import Promise, promise, promise_text, promises
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.setup.costs import asked, costs_of
from shopclock.shop.setup.rates import rates
from shopclock.shop.state.wording import counted, word
from shopclock.shop.values.entities import Batch, Pattern
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.money import Manner, money_text

if TYPE_CHECKING:
    from datetime import date

    from shopclock.analysis.forecast.forecast import Forecast
    from shopclock.analysis.money.cost import Overhead
    from shopclock.shop.state.shop_floor import ShopFloor

LIKE_THE_LAST = 6
"""Where nothing has to be started, a price is told for a batch of so many."""


@dataclass(frozen=True, slots=True)
class Answer:
    """A question's answer: the date in one sentence, the price in one, what is asked, and what both rest on.

    `pays` is the amount that pays 8 times in 10, with tax; "" where none can be told.
    """

    date: str
    price: str
    asked: str
    pays: str
    work: str
    notes: tuple[str, ...]


def can_be_promised(
    path: str, pattern_id: int, wanted: int, day: date | None, now_us: int, manner: Manner, draws: int = DRAWS
) -> Answer:
    """Answer "so many by this day, at what price?" from a record; ShopError where it can't be told."""
    with ReadOnlyRecord.open(Path(path)) as reading:
        floor = reading.floor
        pattern = floor.get(Pattern, pattern_id)
        planner = Planner(floor, reading.reads, now_us)
        found = promise(planner, pattern, wanted, draws)
        told = _batch(planner, pattern, found, draws)
        over = spread(floor, planner.rows, now_us)
        batches = word(floor, "batch").many
        price = _price(floor, told, pattern, over, manner)
        return Answer(
            promise_text(floor, found, day),
            price.said,
            price.asked,
            price.pays,
            f"{_from(floor, found)} {_hours(floor, told)}",
            tuple(note for note in (told.said(batches), planner.rests_on, NO_ADVICE) if note),
        )


def _batch(planner: Planner, pattern: Pattern, found: Promise, draws: int) -> Forecast:
    """Return what the batch takes that is to be started; without one, a batch as large as was asked for."""
    if found.blanks:
        return found.plan.forecasts[found.told]
    new = planner.new(pattern, max(found.wanted, LIKE_THE_LAST))
    job = job_of(planner.knowledge.history, pattern.id, new.pieces, new.stages)
    return forecast(planner.knowledge, job, draws)


def _from(floor: ShopFloor, found: Promise) -> str:
    """Say where the pieces come from."""
    names = [f"{n} unpromised of {floor.get(Batch, batch).name}" for batch, n in found.taken.items()]
    where = f"add to {floor.get(Batch, found.into).name}" if found.into is not None else "start"
    start = [f"{where} {counted(floor, 'piece', found.blanks)}"] if found.blanks else []
    line = ", ".join(names + start)
    return f"{line[:1].upper()}{line[1:]}." if line else ""


def _hours(floor: ShopFloor, told: Forecast) -> str:
    n = counted(floor, "piece", told.job.pieces)
    low, likely, high = (told.hours(share) for share in (0.1, 0.8, 0.9))
    return f"{n} take {low:.1f} to {high:.1f} h of work, {likely:.1f} h 8 times in 10."


@dataclass(frozen=True, slots=True)
class _Price:
    said: str
    asked: str = ""
    pays: str = ""


def _price(floor: ShopFloor, told: Forecast, pattern: Pattern, over: Overhead, manner: Manner) -> _Price:
    """Say between which prices it pays, what is asked and what that earns; a sentence where it can't be told."""
    own = rates(floor)
    try:
        prices = price_range(floor, told, pattern, over, (0.1, 0.8, 0.9))
    except ShopError as error:
        return _Price(str(error))
    if len(prices) < 3:
        return _Price("No price can be told: too often no piece is finished.")
    low, likely, high = (money_text(with_tax(price, own), own.currency, manner) for price in prices.values())
    taxed = " with tax" if own.sales_tax else ""
    line = f"Lowest price that pays: {low} to {high}{taxed}; {likely} is enough 8 times in 10."
    if own.hour <= 0:
        line += " No rate for an hour is set, so the work counts as nothing."
    return _Price(line, _asked(floor, told, pattern, over, manner), likely)


def _asked(floor: ShopFloor, told: Forecast, pattern: Pattern, over: Overhead, manner: Manner) -> str:
    price, own = asked(floor, pattern), rates(floor)
    if price is None:
        return ""
    cost = piece_cost(made_median(told), costs_of(floor, pattern), own, over)
    return asked_said(price, cost, own, manner)


def forecasts_held(path: str, now_us: int) -> str:
    """Say how often such a forecast was right for past batches."""
    with ReadOnlyRecord.open(Path(path)) as reading:
        batches = word(reading.floor, "batch").many
        return f"{honesty(history_of(reading.reads, now_us)).text(batches)}.".capitalize()


def orders_held(path: str, now_us: int, draws: int = DRAWS) -> dict[int, float]:
    """Return how surely each promised order holds, by its number; ShopError where no plan can be made."""
    with ReadOnlyRecord.open(Path(path)) as reading:
        planner = Planner(reading.floor, reading.reads, now_us)
        return {held.order.id: held.holds for held in promises(reading.floor, planner.plan(draws=draws))}
