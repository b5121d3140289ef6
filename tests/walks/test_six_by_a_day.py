"""Six finished by 12 December, at what price? Answered in the demo shop by presses and a number."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest

from shopclock.analysis.forecast.forecast import LIKELY, SURER, honesty
from shopclock.analysis.forecast.history import history_of
from shopclock.analysis.money.earnings import price_range, spread
from shopclock.analysis.plan.held import dates_held
from shopclock.analysis.plan.plan import Planner
from shopclock.analysis.plan.promise import late_text, promise, times_text
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.planning.orders import pieces_of
from shopclock.shop.setup.rates import rates
from shopclock.shop.state.wording import day_text
from shopclock.shop.values.entities import CustomerOrder, Pattern
from shopclock.shop.values.money import money_text
from shopclock.tour.window import StoppedClock
from tests.walks.walk import at_the_window

PRESSES = (
    "Plan", "Promise or order", "Oyster", "Paring 95", "2 knives", "6", "OK",
    "any day", "12 Dec",
)  # fmt: skip
DAY = date(2026, 12, 12)


@pytest.fixture(scope="module")
def demo(copied_demo: Callable[..., Path]) -> Path:
    return copied_demo()


@dataclass(frozen=True)
class Walked:
    """What could be read and pressed after the presses, read after the order, and when; the record with the order."""

    record: Path
    read: list[str]
    reach: list[str]
    ordered: list[str]
    at_us: int


@pytest.fixture(scope="module")
def walked(copied_demo: Callable[..., Path]) -> Walked:
    """Do the presses, close answers included; then take it as an order: on a copy, for an order changes the plan."""
    path = copied_demo()
    record = Record.open(path, StoppedClock(0))
    now_us = record.instant()
    record.close()
    with at_the_window(path, now_us) as hand:
        for words in PRESSES:
            hand.press(words)
        read, reach = hand.read, hand.reach
        hand.press("Take the order")
        hand.type("Brook")
        return Walked(path, read, reach, hand.read, now_us)


def test_the_sentence_on_the_screen_is_what_the_draws_say(walked: Walked, demo: Path) -> None:
    with ReadOnlyRecord.open(demo) as reading:
        planner = Planner(reading.floor, reading.reads, walked.at_us)
        pattern = next(p for p in reading.floor.all(Pattern) if p.name == "Paring 95")
        found = promise(planner, pattern, 6, DAY)
        holds = times_text(found.holds(reading.floor, DAY))
        likely, surer = (found.day(reading.floor, share) for share in (LIKELY, SURER))
        late = late_text(found)
    assert likely is not None
    assert surer is not None
    assert DAY < likely < surer
    sentence = (
        f"Not by Sat 12 Dec: that holds {holds}. 6 knives by {day_text(likely)}, 8 times in 10; by {day_text(surer)}, "
        f"19 times in 20. {late}"
    )
    assert sentence in walked.read


def test_the_prices_on_the_screen_are_those_of_the_draws_with_their_tax(walked: Walked, demo: Path) -> None:
    with ReadOnlyRecord.open(demo) as reading:
        floor = reading.floor
        planner = Planner(floor, reading.reads, walked.at_us)
        pattern = next(p for p in floor.all(Pattern) if p.name == "Paring 95")
        found = promise(planner, pattern, 6, DAY)
        over = spread(floor, reading.reads.intervals(), walked.at_us)
        own = rates(floor)
        prices = price_range(floor, found.plan.forecasts[found.told], pattern, over, (0.1, LIKELY, 0.9))
        low, likely, high = (money_text(p * (100 + own.sales_tax) / 100, own.currency) for p in prices.values())
    assert own.sales_tax == 23
    line = next(line for line in walked.read if line.startswith("Lowest price that pays: "))
    pays, asked = line.split(" Asked: ")
    assert pays == f"Lowest price that pays: {low} to {high} with tax; {likely} is enough 8 times in 10."
    assert likely in walked.reach
    assert asked.endswith("It is below what pays at the wished rate.")


def test_how_often_such_a_forecast_held_is_told_beside(walked: Walked, demo: Path) -> None:
    with ReadOnlyRecord.open(demo) as reading:
        held = honesty(history_of(reading.floor, reading.reads, walked.at_us))
        dated = dates_held(Planner(reading.floor, reading.reads, walked.at_us))
    assert held.n >= 8
    assert dated.n >= 8
    told = (
        f"{held.held} of the last {held.n} batches came in within it. "
        f"{dated.held} of the last {dated.n} were done by the day that would have been told."
    )
    assert any(line.endswith(told) for line in walked.read)


def test_it_takes_nine_presses_the_key_of_a_number_among_them() -> None:
    """How long they take is not asserted: a minute leaves more than four seconds for each."""
    assert "".join(word for word in PRESSES if word.isdecimal()) == "6"
    assert len(PRESSES) == 9


def test_it_is_taken_as_an_order_by_one_press_and_a_name(walked: Walked) -> None:
    with ReadOnlyRecord.open(walked.record) as reading:
        order = next(order for order in reading.floor.all(CustomerOrder) if order.who == "Brook")
    assert (order.wanted, order.promised) == (6, DAY.isoformat())
    assert "Brook: 6 Paring 95 by Sat 12 Dec" in walked.ordered
    with ReadOnlyRecord.open(walked.record) as reading:
        assert len(pieces_of(reading.floor, order)) == 4, "the four of 26-10 that went to nobody are reserved"
