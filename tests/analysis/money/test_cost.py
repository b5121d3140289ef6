"""What a piece costs and earns: worked by hand, and sums that hold to the last digit."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.money.cost import (
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

D = Decimal
RATES = Rates(hour=D(30), fee_share=D(10), fixed_fee=D(2), sales_tax=D(20))
MADE = MadeBatch(7, 6, D(1260), D(90))
"""Seven begun, six finished: 21 h of work, an hour and a half of it on the lost one."""


def item(kind: CostKind, per: Per, amount: str, tax: str = "0") -> CostItem:
    return CostItem(
        id=1, uuid="", name=kind, kind=kind, per=per, pattern_id=None, stage_id=None, days=None,
        amount=amount, currency="EUR", tax=tax, put_away=False,
    )  # fmt: skip


ITEMS = (
    item(CostKind.MATERIAL, Per.PIECE, "12"), item(CostKind.CONSUMABLE, Per.BATCH, "18"),
    item(CostKind.BOUGHT_OUT, Per.BATCH, "60"), item(CostKind.OVERHEAD, Per.MONTH, "100"),
    item(CostKind.OVERHEAD, Per.YEAR, "240"),
)  # fmt: skip


def cost(rates: Rates = RATES, over: Overhead | None = None) -> PieceCost:
    return piece_cost(MADE, ITEMS, rates, over or Overhead())


def test_a_piece_worked_by_hand() -> None:
    """19.5 h on six is 3.25 h each, at 30: 97.50. The lost one: 0.25 h each, 7.50, and a sixth of 12: 2.00."""
    told = cost()
    assert (told.hours, told.labour, told.material) == (D("3.5"), D("97.5"), D(12))
    assert (told.consumables, told.bought_out) == (D(3), D(10))
    assert (told.carried, told.carried_labour) == (D("9.5"), D("7.5"))
    assert told.total == D("97.5") + 12 + 3 + 10 + D("9.5")


def test_the_lowest_price_pays_exactly_the_wished_rate() -> None:
    told = cost()
    price = lowest_price(told, RATES)
    assert price == (told.total + 2) / D("0.9")
    earned = earned_per_hour(price, told, RATES)
    assert earned is not None
    assert abs(earned - 30) < D("1e-20")
    assert with_tax(D(100), RATES) == 120


def test_overhead_is_spread_over_the_hours_at_the_work() -> None:
    """120 a month over 40 h is 3 an hour; 8 h of sweeping at 30 are 6 more."""
    over = overhead(ITEMS, RATES, D(40), D(8))
    assert (over.money, over.shop_time, over.hour) == (D(3), D(6), D(9))
    assert cost(over=over).overhead == D("3.25") * 9
    assert cost(over=over).carried == D("0.25") * 39 + 2
    assert overhead(ITEMS, RATES, D(0), D(8)) == Overhead()


@pytest.mark.parametrize(("back", "costs"), [(False, "120"), (True, "100")])
def test_tax_that_comes_back_is_no_cost(back: bool, costs: str) -> None:
    assert paid(item(CostKind.MATERIAL, Per.PIECE, "100", "20"), Rates(tax_back=back)) == D(costs)


def test_without_labour_there_is_no_rate() -> None:
    told = piece_cost(MadeBatch(2, 2, D(0), D(0)), ITEMS, RATES, Overhead())
    assert earned_per_hour(D(50), told, RATES) is None
    assert "an hour" not in asked_said(D(50), told, RATES)


def test_without_a_finished_piece_there_is_no_cost_of_one() -> None:
    with pytest.raises(ShopError, match="No piece was finished"):
        piece_cost(MadeBatch(3, 0, D(60), D(60)), ITEMS, RATES, Overhead())


@pytest.mark.parametrize(
    ("price", "rates", "says"),
    [
        ("200", RATES, "Asked: EUR 240.00 with tax, about EUR 43.14 an hour."),
        ("120", RATES, " an hour. It is below what pays at the wished rate."),
        ("20", RATES, "It doesn't pay for what is bought, so each sale loses money."),
        ("120", Rates(), "Asked: EUR 120.00, about "),
    ],
)
def test_what_is_said_of_a_price(price: str, rates: Rates, says: str) -> None:
    assert says in asked_said(D(price), cost(rates), rates).replace("\u00a0", " ")


def test_the_lowest_price_that_pays_worked_by_hand() -> None:
    """132 of costs and a fee of 2, of which a tenth of the price goes: 134 / 0.9."""
    assert round(lowest_price(cost(), RATES), 2) == D("148.89")
    assert round(with_tax(lowest_price(cost(), RATES), RATES), 2) == D("178.67")


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
        (("60", "6"), ("40", "2"), SendOut(10, None)),
        (("0", "6"), ("60", "5"), SendOut(None, None)),
        (("0", "6"), ("0", "3"), SendOut(1, None)),
        (("120", "0"), ("10", "5"), SendOut(1, 10)),
    ],
)
def test_sending_out_pays_where_it_costs_no_more(own: tuple[str, str], sent: tuple[str, str], pays: SendOut) -> None:
    assert send_out(D(own[0]), D(own[1]), D(sent[0]), D(sent[1]), D(30)) == pays


@pytest.mark.parametrize(("price", "saved", "n"), [("300", "10", 60), ("301", "10", 61), ("300", "0", None)])
def test_a_tool_pays_by_the_minutes_it_saves(price: str, saved: str, n: int | None) -> None:
    assert tool_pays_after(D(price), D(saved), D(30)) == n
