"""The record's figures in money: what a batch earned, and between which prices the next one pays."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from decimal import Decimal
from typing import Any

import numpy as np
import pytest

from shopclock.analysis.forecast.forecast import Forecast, forecast
from shopclock.analysis.forecast.stage_forecast import BatchJob, ShopEstimates
from shopclock.analysis.money.cost import MadeBatch, Overhead, lowest_price, piece_cost
from shopclock.analysis.money.earnings import earned, earned_text, made_median, made_of, price_range, spread
from shopclock.record.read.rows import IntervalRow
from shopclock.shop.figures.batch_figures import BatchFigures, figures
from shopclock.shop.figures.untimed import say
from shopclock.shop.planning import orders
from shopclock.shop.setup import costs, rates, sent_out
from shopclock.shop.values.entities import CostItem, CostKind, CustomerOrder, Interval, Per
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.kinds import Certainty, Kind, Outcome, StepState, WorkKind
from shopclock.shop.values.money import Manner
from shopclock.shop.work import acts, batches, begin, finish, pieces
from tests.analysis.forecasts import STAGES, history
from tests.shop.workshop import IN_ROUNDS, START_US, Shop

D = Decimal
HOUR_US = 3_600_000_000


def timed(n: int = 3, minutes: float = 180) -> Shop:
    """A shop whose batch got so many minutes at sawing, before A was lost."""
    shop = Shop(n)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(minutes)
    shop.press(lambda tx: acts.go_on(tx, shop.runs()))
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
    own = earned(shop.floor, told(shop), Overhead(D(4), D(2)))
    assert (own.cost.labour, own.cost.material, own.cost.overhead) == (30, 12, 6)
    assert own.cost.carried == D("0.5") * (30 + 6) + 6
    assert (own.price, own.hour, own.price_of_all) == (None, None, None)
    assert own.cost_of_all == 2 * own.cost.total == 2 * (30 + 12 + 6 + 18 + 6)


def ordered(shop: Shop, mark: str, price: str) -> CustomerOrder:
    """An order of one, at a price, that a piece of this mark goes to."""
    order = shop.press(lambda tx: orders.take_order(tx, "Brook", shop.pattern, 1))
    order = shop.press(lambda tx: orders.set_price(tx, order, price))
    shop.press(lambda tx: orders.tie(tx, order, shop.piece(mark)))
    return order


def test_ordered_pieces_earn_their_orders_price_and_the_others_what_is_asked() -> None:
    shop = timed()
    assert earned(shop.floor, told(shop), Overhead()).price is None
    order = ordered(shop, "B", "80")
    assert earned(shop.floor, told(shop), Overhead()).price is None
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "100"))
    own = earned(shop.floor, replace(told(shop), all_through=True), Overhead())
    assert (own.price, own.price_of_all) == (90, 180)
    assert own.hour == (90 - 18) / D("1.5")
    shop.press(lambda tx: orders.set_price(tx, order, ""))
    assert earned(shop.floor, told(shop), Overhead()).price == 100


def test_the_price_of_an_order_in_another_currency_is_not_reckoned_with() -> None:
    shop = timed()
    ordered(shop, "B", "80")
    shop.press(lambda tx: rates.set_rate(tx, "currency", "USD"))
    steel = next(shop.floor.all(CostItem))
    shop.press(lambda tx: costs.set_amount(tx, steel, "13"))
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "100"))
    assert earned(shop.floor, told(shop), Overhead()).price == 100


def test_of_what_was_lost_or_kept_the_price_does_not_count_and_a_second_does() -> None:
    """Of four, A was lost. B was ordered at 80 and then kept; C is a second, D finished."""
    shop = timed(4, 240)
    ordered(shop, "B", "80")
    ordered(shop, "C", "50")
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "100"))
    assert earned(shop.floor, told(shop), Overhead()).price == D(230) / 3
    shop.press(lambda tx: pieces.end_piece(tx, shop.piece("B"), Outcome.KEPT))
    shop.press(lambda tx: batches.close_batch(tx, shop.batch, {shop.piece("C").id: Outcome.SECOND}, ""))
    shop.press(lambda tx: say(tx, shop.batch, StepState.SKIPPED))
    own = earned(shop.floor, told(shop), Overhead())
    assert (own.price, own.price_of_all, own.cost.hours) == (75, 150, 2)


def test_a_batch_brought_from_the_disk_is_looked_at_there() -> None:
    """Its pieces and steps stand on the other floor, orders and costs on the shop's own."""
    shop = timed()
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "100"))
    ordered(shop, "B", "80")
    sawyer = shop.press(lambda tx: costs.add_cost(tx, "Sawyer", CostKind.BOUGHT_OUT, Per.BATCH, "40"))
    shop.press(lambda tx: sent_out.stands_for(tx, sawyer, shop.stage("Saw")))
    known, brought = told(shop), deepcopy(shop.floor)
    brought.put(replace(shop.step("Saw"), kind=Kind.AWAY))
    for thing in (*shop.floor.of_batch(Interval, shop.batch.id), *shop.floor.pieces(shop.batch.id)):
        shop.floor.drop(thing)
    own = earned(shop.floor, known, Overhead(), brought)
    assert (own.price, own.cost.bought_out) == (90, 20)


def test_costs_in_another_currency_are_told_not_added() -> None:
    shop = timed()
    shop.press(lambda tx: rates.set_rate(tx, "currency", "NOK"))
    shop.press(lambda tx: costs.add_cost(tx, "Rent", CostKind.OVERHEAD, Per.MONTH, "50"))
    shop.press(lambda tx: rates.set_rate(tx, "currency", "USD"))
    why = "Steel is in EUR, the shop reckons in USD. Type its amount anew; no price is told until then."
    for ask in (
        lambda: earned(shop.floor, told(shop), Overhead()),
        lambda: spread(shop.floor, [interval(1, 1, 1)], START_US),
        lambda: price_range(shop.floor, drawn(), shop.pattern, Overhead()),
    ):
        with pytest.raises(ShopError) as refused:
            ask()
        assert str(refused.value) == why


def test_what_was_put_away_costs_nothing_in_whatever_currency() -> None:
    shop = timed()
    rent = shop.press(lambda tx: costs.add_cost(tx, "Rent", CostKind.OVERHEAD, Per.MONTH, "50"))
    shop.press(lambda tx: costs.put_cost_away(tx, rent, away=True))
    assert spread(shop.floor, [interval(1, 1, 1)], START_US).money == 0
    steel = next(shop.floor.all(CostItem))
    shop.press(lambda tx: costs.put_cost_away(tx, steel, away=True))
    shop.press(lambda tx: rates.set_rate(tx, "currency", "USD"))
    assert earned(shop.floor, told(shop), Overhead()).cost.material == 0


def test_a_batch_timed_in_part_has_no_price() -> None:
    shop = timed()
    with pytest.raises(ShopError) as refused:
        earned(shop.floor, replace(told(shop), at_least=True), Overhead())
    assert str(refused.value) == f"Part of {shop.batch.name} was not timed, so what it earned can't be told."


def interval(hours: float, batch_id: int | None, days_ago: float, earlier_us: int = 0) -> IntervalRow:
    start = START_US - round(days_ago * 24 * HOUR_US) - earlier_us
    fields: dict[str, Any] = dict.fromkeys(
        ("batch", "pattern", "stage", "step", "method", "maker", "cause", "uuid", "notes"), ""
    )
    return IntervalRow(
        **fields, id=1, batch_id=batch_id, stage_id=1, method_id=None, kind=Kind.HANDS_ON, work=WorkKind.RUN, pieces=(),
        start_us=start, end_us=START_US, certainty=Certainty.PRESSED, together=False, labour_us=round(hours * HOUR_US),
    )  # fmt: skip


@pytest.fixture
def renting() -> Shop:
    """A shop with a rent of 105 a month and 30 an hour."""
    shop = timed()
    shop.press(lambda tx: costs.add_cost(tx, "Rent", CostKind.OVERHEAD, Per.MONTH, "105"))
    return shop


def test_overhead_goes_by_the_hours_since_timing_began(renting: Shop) -> None:
    """63 h at batches and 12.6 h of sweeping in 73 days (2.4 months): 26.25 h and 5.25 h a month; rent is 4 an hour."""
    rows = [
        interval(7, None, 10),
        interval(20, 1, 73),
        interval(43, 2, 50),
        interval(5.6, None, 9),
        interval(0, 1, 300),
    ]
    for some in (rows, rows[::-1]):
        assert spread(renting.floor, some, START_US) == Overhead(D(4), D(6))
    assert spread(renting.floor, [], START_US) == Overhead()


def test_overhead_goes_by_the_last_twelve_months_to_the_microsecond(renting: Shop) -> None:
    """365 days ago is in it, a microsecond earlier isn't: 315 h in twelve months are 26.25 a month."""
    rows = [interval(315, 1, 365), interval(63, None, 1)]
    assert spread(renting.floor, rows, START_US) == Overhead(D(4), D(6))
    rows = [interval(315, 1, 365, earlier_us=1), interval(63, None, 1)]
    assert spread(renting.floor, rows, START_US) == Overhead()


def test_a_shop_that_is_timed_for_less_than_a_month_counts_as_timed_for_one(renting: Shop) -> None:
    assert spread(renting.floor, [interval(26.25, 1, 3), interval(5.25, None, 2)], START_US) == Overhead(D(4), D(6))


def drawn() -> Forecast:
    """999 draws of five pieces, in which quick batches lose more and slow ones less, and some finish nothing."""
    told = history((10, 20), (12, 45), (9, 28), (14, 60), lost=(1, 2, 0, 1))
    made = forecast(ShopEstimates(told), BatchJob(1, 5, STAGES), 999)
    return replace(made, finished=np.where(np.arange(999) % 100 == 7, 0, made.finished))


def price_by_draw(shop: Shop, made: Forecast, over: Overhead) -> list[Decimal]:
    """The lowest price that pays in each draw by the rule of a finished piece, from the lowest to none at all."""
    own, items = rates.rates(shop.floor), costs.costs_of(shop.floor, shop.pattern)
    draws = zip(made.total_min.tolist(), made.finished.tolist(), strict=True)
    found = [
        lowest_price(piece_cost(MadeBatch(5, f, D(repr(m)), D(0)), items, own, over), own) if f else D("inf")
        for m, f in draws
    ]
    return sorted(found)


def test_a_price_before_the_batch_pays_in_its_share_of_draws() -> None:
    """A fee for each piece is paid for those that are sold, and so changes no order of the draws."""
    shop, made, over = timed(), drawn(), Overhead(D(2), D(1))
    shop.press(lambda tx: costs.add_cost(tx, "Belts", CostKind.CONSUMABLE, Per.BATCH, "90", tax="20"))
    shop.press(lambda tx: costs.add_cost(tx, "Card", CostKind.FEE, Per.PIECE, "400"))
    shop.press(lambda tx: rates.set_rate(tx, "fee_share", "10"))
    exact = price_by_draw(shop, made, over)
    assert price_range(shop.floor, made, shop.pattern, over) == {
        0.1: exact[99], 0.5: exact[499], 0.8: exact[799], 0.95: exact[949]
    }  # fmt: skip
    assert price_range(shop.floor, made, shop.pattern, over, (0.0, 0.989, 0.99)) == {0.0: exact[0], 0.989: exact[988]}


def test_no_price_where_draws_finish_nothing() -> None:
    shop = timed()
    made = forecast(ShopEstimates(history()), BatchJob(1, 5, STAGES), 100)
    nothing = replace(made, finished=np.zeros(100, np.int64))
    assert price_range(shop.floor, nothing, shop.pattern, Overhead()) == {}
    one = replace(made, finished=np.ones(100, np.int64))
    assert list(price_range(shop.floor, one, shop.pattern, Overhead())) == [0.1, 0.5, 0.8, 0.95]


def test_figures_become_costs_to_the_microsecond() -> None:
    """100.123457 min on three: a third of it went into the lost one."""
    made = made_of(told(timed(3, 100.123457)))
    all_us = round(100.123457 * 60e6)
    assert made == MadeBatch(3, 2, D(all_us) / 60_000_000, D(all_us // 3) / 60_000_000)


def test_a_batch_to_come_is_told_in_the_middle_of_its_draws() -> None:
    made = drawn()
    minutes, finished = sorted(made.total_min.tolist())[499], sorted(made.finished.tolist())[499]
    assert made_median(made) == MadeBatch(5, finished, D(repr(minutes)), D(0))


def test_an_open_batch_says_nothing_of_an_hour_before_its_pieces_are_through() -> None:
    """What is still to work isn't in it: 60 min for two of 100 each at the first step, 120 when the second is done."""
    shop = Shop(2, replace(IN_ROUNDS, steps=IN_ROUNDS.steps[:2], rules=()))
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "100"))
    for name in ("Saw", "Bevel"):
        begun = shop.press(lambda tx, name=name: begin.begin(tx, shop.step(name)))
        shop.clock.on(60)
        own = earned(shop.floor, told(shop), Overhead())
        assert own.hour is None, name
        assert earned_text(shop.floor, own, Manner()) == "", name
        shop.press(lambda tx, name=name, begun=begun: finish.all_through(tx, shop.step(name), begun.pieces))
        shop.press(begin.stop)
    said = earned_text(shop.floor, earned(shop.floor, told(shop), Overhead()), Manner())
    assert said.replace("\u00a0", " ") == "Earned EUR 100.00 an hour so far."


def test_nor_while_one_of_two_pieces_is_finished_and_the_other_has_a_step_to_go() -> None:
    """90 min so far for 200 would be 133.33 an hour; with the bevels of B it is 100."""
    shop = Shop(2, replace(IN_ROUNDS, steps=IN_ROUNDS.steps[:2], rules=()))
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "100"))
    for name, mark in (("Saw", "AB"), ("Bevel", "A")):
        begun = shop.press(lambda tx, name=name, mark=mark: begin.begin(tx, shop.step(name), shop.pieces(mark)))
        shop.clock.on(30 * len(mark))
        shop.press(lambda tx, name=name, begun=begun: finish.all_through(tx, shop.step(name), begun.pieces))
        shop.press(begin.stop)
    shop.press(lambda tx: pieces.end_piece(tx, shop.piece("A"), Outcome.FINISHED))
    half = earned(shop.floor, told(shop), Overhead())
    assert (half.price, half.hour) == (100, None)
    begun = shop.press(lambda tx: begin.begin(tx, shop.step("Bevel"), shop.pieces("B")))
    shop.clock.on(30)
    shop.press(lambda tx: finish.all_through(tx, shop.step("Bevel"), begun.pieces))
    shop.press(begin.stop)
    assert earned(shop.floor, told(shop), Overhead()).hour == 100
