"""Money is exact until it is shown; costs and rates are kept as typed."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.setup import costs, rates, sent_out
from shopclock.shop.values.entities import AskedPrice, CostKind, Per
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.money import Manner, amount, currency_code, money_text, percent, rounded
from tests.shop.workshop import Shop


@pytest.mark.parametrize(
    ("typed", "value"), [("240", "240"), (" 12,50 ", "12.50"), ("0", "0"), ("1 200.5", "1200.5"), ("10000000", "1e7")]
)
def test_an_amount_is_what_was_typed(typed: str, value: str) -> None:
    assert amount(typed) == Decimal(value)


@pytest.mark.parametrize("typed", ["", "-1", "nan", "1e3", "1,2,3", "1.200,50", "10000001", "inf", "١"])
def test_what_is_no_amount_is_refused(typed: str) -> None:
    with pytest.raises(Refusal, match="is no amount of money"):
        amount(typed)


@pytest.mark.parametrize(
    ("value", "currency", "manner", "told"),
    [
        ("1234.5", "EUR", Manner(), "EUR 1,234.50"),
        ("1234567.005", "EUR", Manner(",", ".", before=False), "1.234.567,01 EUR"),
        ("-3.004", "USD", Manner(), "−USD 3.00"),
        ("-0.004", "USD", Manner(), "USD 0.00"),
        ("999.995", "CHF", Manner(group="\u2019"), "CHF 1\u2019000.00"),
        ("1234.5", "JPY", Manner(), "JPY 1,235"),
        ("1234567.5", "INR", Manner(pairs=True), "INR 12,34,567.50"),
        ("99999", "INR", Manner(pairs=True), "INR 99,999.00"),
        ("0.0005", "KWD", Manner(group="'"), "KWD 0.001"),
    ],
)
def test_money_is_written_as_a_place_does(value: str, currency: str, manner: Manner, told: str) -> None:
    assert money_text(Decimal(value), currency, manner) == told.replace(" ", "\u00a0")


@given(st.decimals(0, 10_000, places=4), st.sampled_from(["EUR", "JPY", "KWD"]))
def test_rounding_is_never_off_by_more_than_half_a_coin(value: Decimal, currency: str) -> None:
    coin = {"EUR": Decimal("0.01"), "JPY": Decimal(1), "KWD": Decimal("0.001")}[currency]
    assert abs(rounded(value, currency) - value) * 2 <= coin


def test_percent_and_currency() -> None:
    assert percent(" 19,5 % ") == Decimal("19.5")
    assert currency_code(" eur ") == "EUR"
    for wrong in ("100", "-1", "x"):
        with pytest.raises(Refusal, match="is no share"):
            percent(wrong)
    with pytest.raises(Refusal, match="is no currency"):
        currency_code("euro")


def test_rates_are_zero_until_set_and_can_be_taken_back() -> None:
    shop = Shop()
    assert rates.rates(shop.floor) == rates.Rates()
    for field, typed in (("hour", "30"), ("fee_share", "6,5"), ("currency", "nok"), ("tax_back", "yes")):
        shop.press(lambda tx, f=field, t=typed: rates.set_rate(tx, f, t))
    kept = rates.rates(shop.floor)
    assert kept == rates.Rates(hour=Decimal(30), fee_share=Decimal("6.5"), currency="NOK", tax_back=True)
    shop.undo()
    assert rates.rates(shop.floor).tax_back is False
    with pytest.raises(Refusal, match="is no amount of money"):
        shop.press(lambda tx: rates.set_rate(tx, "hour", "-3"))


def test_costs_are_of_one_pattern_or_of_all() -> None:
    shop = Shop()
    steel = shop.press(
        lambda tx: costs.add_cost(tx, "Steel", CostKind.MATERIAL, Per.PIECE, "12.40", pattern=shop.pattern, tax="20")
    )
    belts = shop.press(lambda tx: costs.add_cost(tx, "Belts", CostKind.CONSUMABLE, Per.BATCH, "18"))
    assert costs.costs_of(shop.floor, shop.pattern) == (steel, belts)
    shop.press(lambda tx: costs.put_cost_away(tx, steel, away=True))
    assert costs.costs_of(shop.floor, shop.pattern) == (belts,)
    with pytest.raises(Refusal, match="There is belts already"):
        shop.press(lambda tx: costs.add_cost(tx, "belts", CostKind.FEE, Per.PIECE, "1"))
    for kind, per in ((CostKind.MATERIAL, Per.MONTH), (CostKind.OVERHEAD, Per.PIECE)):
        with pytest.raises(Refusal, match="is overhead, and only that"):
            shop.press(lambda tx, k=kind, p=per: costs.add_cost(tx, "Rent", k, p, "1"))


def test_a_cost_can_be_changed_and_stand_for_a_stage() -> None:
    shop = Shop()
    sent = shop.press(lambda tx: costs.add_cost(tx, "Hardening", CostKind.BOUGHT_OUT, Per.BATCH, "60"))
    sent = shop.press(lambda tx: sent_out.stands_for(tx, sent, shop.stage("Harden")))
    assert sent.stage_id == shop.stage("Harden").id
    sent = shop.press(lambda tx: costs.set_tax(tx, sent, "19"))
    assert (sent.tax, shop.press(lambda tx: sent_out.set_days(tx, sent, " 12 ")).days) == ("19", 12)
    for wrong in ("0", "366", "1.5", "x"):
        with pytest.raises(Refusal, match="no number of days from 1 to 365"):
            shop.press(lambda tx, typed=wrong: sent_out.set_days(tx, sent, typed))
    assert shop.press(lambda tx: costs.set_amount(tx, sent, "65")).amount == "65"
    belts = shop.press(lambda tx: costs.add_cost(tx, "Belts", CostKind.CONSUMABLE, Per.BATCH, "18"))
    with pytest.raises(Refusal, match="no bought-out work"):
        shop.press(lambda tx: sent_out.stands_for(tx, belts, None))


def test_what_is_in_another_currency_is_told() -> None:
    shop = Shop()
    belts = shop.press(lambda tx: costs.add_cost(tx, "Belts", CostKind.CONSUMABLE, Per.BATCH, "18"))
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "240"))
    assert rates.foreign(shop.floor) == ()
    shop.press(lambda tx: rates.set_rate(tx, "currency", "USD"))
    assert rates.foreign(shop.floor) == (belts,)
    assert costs.asked(shop.floor, shop.pattern) is None


def test_what_is_asked_is_kept_once() -> None:
    shop = Shop()
    assert costs.asked(shop.floor, shop.pattern) is None
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "240"))
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "250"))
    assert costs.asked(shop.floor, shop.pattern) == 250
    assert len(list(shop.floor.all(AskedPrice))) == 1
    shop.press(lambda tx: costs.ask(tx, shop.pattern, ""))
    assert costs.asked(shop.floor, shop.pattern) is None
    shop.press(lambda tx: costs.ask(tx, shop.pattern, ""))
