"""What a piece costs and earns: worked by hand, and sums that hold to the last digit."""

from dataclasses import astuple, replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.money.cost import (
    NO_ADVICE,
    MadeBatch,
    Overhead,
    PieceCost,
    SendOut,
    asked_said,
    earned_per_hour,
    lowest_price,
    overhead,
    paid,
    piece_cost,
    send_out,
    tool_pays_after,
    with_tax,
)
from shopclock.shop.setup.rates import Rates
from shopclock.shop.values.entities import CostItem, CostKind, Per
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.money import Manner

D = Decimal
RATES = Rates(hour=D(30), fee_share=D(20), fixed_fee=D(2), sales_tax=D(25))
MADE = MadeBatch(8, 5, D(1500), D(300))
"""Eight begun, five finished: 25 h of work, five of them on the three that were lost."""
OVER = Overhead(D(3), D(6))


def item(kind: CostKind, per: Per, amount: str, tax: str = "0") -> CostItem:
    return CostItem(
        id=1, uuid="", name=kind, kind=kind, per=per, pattern_id=None, stage_id=None, days=None,
        amount=amount, currency="EUR", tax=tax, put_away=False,
    )  # fmt: skip


ITEMS = (
    item(CostKind.MATERIAL, Per.PIECE, "10"), item(CostKind.MATERIAL, Per.BATCH, "35"),
    item(CostKind.CONSUMABLE, Per.PIECE, "3"), item(CostKind.CONSUMABLE, Per.BATCH, "25"),
    item(CostKind.BOUGHT_OUT, Per.PIECE, "20"), item(CostKind.BOUGHT_OUT, Per.BATCH, "60"),
    item(CostKind.FEE, Per.PIECE, "1"), item(CostKind.FEE, Per.BATCH, "20"),
    item(CostKind.OVERHEAD, Per.MONTH, "100"), item(CostKind.OVERHEAD, Per.YEAR, "270"),
)  # fmt: skip


def cost(rates: Rates = RATES, over: Overhead = OVER) -> PieceCost:
    return piece_cost(MADE, ITEMS, rates, over)


def test_a_piece_worked_by_hand() -> None:
    """20 h on five are 4 h each, at 30 and with 9 of overhead; the lost ones add 1 h and 3/5 of their blanks' 33.

    No fee was paid for what was never sold: 3/5 of 34 would be 20.40.
    """
    told = cost()
    assert told == PieceCost(
        hours=D(5), labour=D(120), material=D(17), consumables=D(8), bought_out=D(32), fees=D(5), overhead=D(36),
        carried=D(30 + 9) + D("19.8"), carried_labour=D(30),
    )  # fmt: skip
    assert told.not_labour == 17 + 8 + 32 + 5 + 36 + 9 + D("19.8") == D("126.8")
    assert told.total == D("126.8") + 120 + 30 == D("276.8")


def test_what_is_none_is_a_decimal_too() -> None:
    told = piece_cost(MadeBatch(2, 2, D(0), D(0)), (), RATES, Overhead())
    assert told == PieceCost(*[D(0)] * 9)
    assert {type(part) for part in astuple(told)} == {Decimal}


def test_the_lowest_price_pays_exactly_the_wished_rate() -> None:
    """276.80 of costs and a fee of 2, of which a fifth of the price goes: 278.80 / 0.8."""
    price = lowest_price(cost(), RATES)
    assert price == D("348.5")
    assert earned_per_hour(price, cost(), RATES) == 30
    assert with_tax(price, RATES) == D("435.625")


def test_what_an_hour_earns_worked_by_hand() -> None:
    """Of 261 a fifth and 2 are fees, 126.80 are bought: 80 are left for 5 h. At 161 nothing is."""
    assert earned_per_hour(D(261), cost(), RATES) == 16
    assert earned_per_hour(D(161), cost(), RATES) == 0
    assert earned_per_hour(D(61), cost(), RATES) == -16
    half = piece_cost(MadeBatch(1, 1, D(30), D(0)), (), Rates(), Overhead())
    assert earned_per_hour(D(9), half, Rates()) == 18


def test_overhead_is_spread_over_the_hours_at_the_work() -> None:
    """100 a month and 270 a year are 122.50 a month, over 50 h 2.45 an hour; 8 h of sweeping at 30 are 4.80 more."""
    over = overhead(ITEMS, RATES, D(50), D(8))
    assert (over.money, over.shop_time, over.hour) == (D("2.45"), D("4.8"), D("7.25"))
    assert overhead(ITEMS, RATES, D("0.5"), D(0)) == Overhead(D(245), D(0))
    assert overhead(ITEMS, RATES, D(0), D(8)) == Overhead(D(0), D(0)) == Overhead()


@pytest.mark.parametrize(("back", "costs"), [(False, "120"), (True, "100")])
def test_tax_that_comes_back_is_no_cost(back: bool, costs: str) -> None:
    assert paid(item(CostKind.MATERIAL, Per.PIECE, "100", "20"), Rates(tax_back=back)) == D(costs)


def test_without_labour_there_is_no_rate() -> None:
    told = piece_cost(MadeBatch(2, 2, D(0), D(0)), (), RATES, OVER)
    assert earned_per_hour(D(50), told, RATES) is None
    assert asked_said(D(50), told, RATES) == "Asked: EUR\u00a062.50 with tax."


def test_without_a_finished_piece_there_is_no_cost_of_one() -> None:
    with pytest.raises(ShopError) as refused:
        piece_cost(MadeBatch(3, 0, D(60), D(60)), ITEMS, RATES, OVER)
    assert str(refused.value) == "No piece was finished, so there is none to carry the costs."


BELOW = " It is below what pays at the wished rate."
LOSES = " It doesn't pay for what is bought, so each sale loses money."


@pytest.mark.parametrize(
    ("price", "says"),
    [
        ("348.50", "Asked: EUR 435.63 with tax, about EUR 30.00 an hour."),
        ("348.49", "Asked: EUR 435.61 with tax, about EUR 30.00 an hour." + BELOW),
        ("161.00", "Asked: EUR 201.25 with tax, about EUR 0.00 an hour." + BELOW),
        ("160.90", "Asked: EUR 201.13 with tax, about −EUR 0.02 an hour." + LOSES),
    ],
)
def test_what_is_said_of_a_price(price: str, says: str) -> None:
    """It pays from 348.50 on, and what is bought from 161: (126.80 + 2) / 0.8."""
    assert asked_said(D(price), cost(), RATES).replace("\u00a0", " ") == says


def test_a_price_is_said_as_its_place_writes_it_and_without_tax_where_there_is_none() -> None:
    told = asked_said(D("1261"), cost(), replace(RATES, sales_tax=D(0)), Manner(",", ".", before=False))
    assert told.replace("\u00a0", " ") == "Asked: 1.261,00 EUR, about 176,00 EUR an hour."


def test_it_is_said_that_no_price_is_tax_advice() -> None:
    assert NO_ADVICE.split(":")[0] == "No tax advice"


money = st.decimals(0, 5000, places=2)


@given(money, money, st.integers(1, 12), st.integers(0, 5), st.decimals(0, 3000, places=3), st.decimals(0, 1, places=3))
def test_costs_of_the_finished_are_all_costs(
    hour: Decimal, each: Decimal, finished: int, lost: int, labour: Decimal, share: Decimal
) -> None:
    rates = Rates(hour=hour)
    made = MadeBatch(finished + lost, finished, labour, labour * share if lost else D(0))
    items = (item(CostKind.MATERIAL, Per.PIECE, str(each)), item(CostKind.CONSUMABLE, Per.BATCH, "18"))
    told = piece_cost(made, items, rates, Overhead(D(2), D(1)))
    spent = labour / 60 * (hour + 3) + each * (finished + lost) + 18
    assert abs(told.total * finished - spent) < D("1e-15")


@pytest.mark.parametrize(
    ("own", "sent", "pays"),
    [
        (("0", "6"), ("100", "2"), SendOut(100, None)),
        (("0", "6"), ("101", "2"), SendOut(None, None)),
        (("198", "0"), ("0", "1"), SendOut(1, 99)),
        (("200", "0"), ("0", "1"), SendOut(1, None)),
        (("60", "6"), ("40", "2"), SendOut(10, None)),
        (("0", "6"), ("60", "5"), SendOut(None, None)),
        (("0", "6"), ("0", "3"), SendOut(1, None)),
        (("120", "0"), ("10", "5"), SendOut(1, 10)),
    ],
)
def test_sending_out_pays_where_it_costs_no_more(own: tuple[str, str], sent: tuple[str, str], pays: SendOut) -> None:
    assert send_out(D(own[0]), D(own[1]), D(sent[0]), D(sent[1]), D(30)) == pays


@pytest.mark.parametrize(
    ("price", "saved", "n"), [("300", "10", 60), ("301", "10", 61), ("1", "0.02", 100), ("300", "0", None)]
)
def test_a_tool_pays_by_the_minutes_it_saves(price: str, saved: str, n: int | None) -> None:
    assert tool_pays_after(D(price), D(saved), D(30)) == n
