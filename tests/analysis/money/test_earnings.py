"""The record's figures in money: what a batch earned, and between which prices the next one pays."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import numpy as np
import pytest

from shopclock.analysis.forecast.forecast import BatchJob, forecast
from shopclock.analysis.forecast.stage_forecast import StageEstimates
from shopclock.analysis.money.cost import Overhead
from shopclock.analysis.money.earnings import earned, made_of, price_range, spread
from shopclock.record.read.rows import IntervalRow
from shopclock.shop.figures.batch_figures import BatchFigures, figures
from shopclock.shop.planning import orders
from shopclock.shop.setup import costs, rates
from shopclock.shop.values.entities import CostKind, Per
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.kinds import Certainty, Kind, WorkKind
from shopclock.shop.work import begin, finish, pieces
from tests.analysis.forecasts import STAGES, history
from tests.shop.workshop import START_US, Shop

D = Decimal
HOUR_US = 3_600_000_000


def timed(n: int = 3, minutes: float = 180) -> Shop:
    """A shop whose batch got so many minutes at sawing, before A was lost."""
    shop = Shop(n)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(minutes)
    shop.press(lambda tx: finish.go_on(tx, shop.runs()))
    shop.press(begin.stop)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("A"), shop.step("Saw"), "cracked"))
    shop.press(lambda tx: rates.set_rate(tx, "hour", "30"))
    shop.press(lambda tx: costs.add_cost(tx, "Steel", CostKind.MATERIAL, Per.PIECE, "12", pattern=shop.pattern))
    return shop


def told(shop: Shop) -> BatchFigures:
    return figures(shop.floor, shop.batch.id, shop.clock.now_us)


def test_the_lost_piece_is_carried_in_money() -> None:
    """180 min on three: each hour is one piece's. The lost hour and its steel lie on the two that are left."""
    shop = timed()
    own = earned(shop.floor, told(shop), Overhead())
    assert (own.cost.labour, own.cost.material, own.cost.carried) == (30, 12, 15 + 6)
    assert (own.price, own.hour) == (None, None)


def test_ordered_pieces_earn_their_orders_price_and_the_others_what_is_asked() -> None:
    shop = timed()
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "100"))
    order = shop.press(lambda tx: orders.take_order(tx, "Brook", shop.pattern, 1))
    order = shop.press(lambda tx: orders.set_price(tx, order, "80"))
    shop.press(lambda tx: orders.tie(tx, order, shop.piece("B")))
    own = earned(shop.floor, told(shop), Overhead())
    assert own.price == 90
    assert own.hour == (90 - 18) / D("1.5")


def test_costs_in_another_currency_are_told_not_added() -> None:
    shop = timed()
    shop.press(lambda tx: rates.set_rate(tx, "currency", "USD"))
    with pytest.raises(ShopError, match="Steel is in EUR, the shop reckons in USD"):
        earned(shop.floor, told(shop), Overhead())


def test_a_batch_timed_in_part_has_no_price() -> None:
    shop = timed()
    with pytest.raises(ShopError, match="was not timed, so what it earned can't be told"):
        earned(shop.floor, replace(told(shop), at_least=True), Overhead())


def interval(hours: float, batch_id: int | None, days_ago: float) -> IntervalRow:
    start = START_US - round(days_ago * 24 * HOUR_US)
    fields: dict[str, Any] = dict.fromkeys(
        ("batch", "pattern", "stage", "step", "method", "maker", "cause", "uuid", "notes"), ""
    )
    return IntervalRow(
        **fields, id=1, batch_id=batch_id, stage_id=1, method_id=None, kind=Kind.HANDS_ON, work=WorkKind.RUN, pieces=(),
        start_us=start, end_us=start + 1, certainty=Certainty.PRESSED, together=False, labour_us=round(hours * HOUR_US),
    )  # fmt: skip


def test_overhead_goes_by_the_hours_of_the_last_year() -> None:
    """60 h at batches and 12 h of sweeping in 73 days (2.4 months): 25 h and 5 h a month; rent 50 is 2 an hour."""
    shop = timed()
    shop.press(lambda tx: costs.add_cost(tx, "Rent", CostKind.OVERHEAD, Per.MONTH, "50"))
    rows = [interval(60, 1, 73), interval(12, None, 10), interval(500, 1, 400)]
    over = spread(shop.floor, rows, START_US)
    assert (round(over.money, 9), round(over.shop_time, 9)) == (2, 6)
    assert spread(shop.floor, [], START_US) == Overhead()


def test_prices_before_the_batch_are_those_of_its_draws() -> None:
    shop = timed()
    made = forecast(StageEstimates(history()), BatchJob(1, 5, STAGES), 999)
    prices = price_range(shop.floor, made, shop.pattern, Overhead(), (0.1, 0.5, 0.8))
    assert list(prices.values()) == sorted(prices.values())
    exact = sorted((m / 60 * 30 + 5 * 12) / f for m, f in zip(made.total_min, made.finished, strict=True) if f)
    gone = int(np.sum(made.finished == 0))
    assert gone < 100
    assert float(prices[0.5]) == pytest.approx(exact[499])


def test_no_price_where_draws_finish_nothing() -> None:
    shop = timed()
    made = forecast(StageEstimates(history()), BatchJob(1, 5, STAGES), 100)
    nothing = replace(made, finished=np.zeros(100, np.int64))
    assert price_range(shop.floor, nothing, shop.pattern, Overhead()) == {}


def test_figures_become_costs_to_the_microsecond() -> None:
    made = made_of(told(timed(3, 100.123457)))
    assert made.labour_min * 60_000_000 == round(100.123457 * 60e6)
    assert (made.begun, made.finished) == (3, 2)
