"""Money is exact until it is shown; costs and rates are kept as typed."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.setup import costs, rates, sent_out
from shopclock.shop.setup.patterns import copy_route
from shopclock.shop.values.entities import AskedPrice, CostItem, CostKind, Pattern, Per
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.habits import Habits
from shopclock.shop.values.kinds import Kind, StepState
from shopclock.shop.values.money import Manner, amount, currency_code, money_text, percent, rounded
from shopclock.shop.work import batches
from tests.shop.workshop import ROUTE, Shop


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("240", "240"),
        (" 12,50 ", "12.50"),
        ("\t7\n", "7"),
        ("0", "0"),
        ("1 200.5", "1200.5"),
        ("1\u00a0200,5", "1200.5"),
        ("10000000", "1e7"),
    ],
)
def test_an_amount_is_what_was_typed(typed: str, value: str) -> None:
    assert amount(typed) == Decimal(value)


@pytest.mark.parametrize(
    "typed", ["", "-1", "nan", "1e3", "1,2,3", "1.200,50", "10000001", "10000000.0001", "inf", "١", "1x000"]
)
def test_what_is_no_amount_is_refused(typed: str) -> None:
    with pytest.raises(Refusal, match="is no amount of money"):
        amount(typed)


def test_what_is_refused_is_quoted_as_the_place_writes_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shopclock.shop.values.habits._Held.habits", Habits(decimal=","))
    with pytest.raises(Refusal, match=r"^1,52,75 is no amount of money, such as 240 or 12,50\."):
        amount("1.52.75")


@pytest.mark.parametrize(
    ("read", "why"),
    [
        (amount, "is no amount of money, such as 240 or 12.50"),
        (percent, "is no share from 0 to below 100 %"),
        (currency_code, "is no currency: three letters, such as EUR"),
    ],
)
@pytest.mark.parametrize(("typed", "said"), [(" --- ", "---"), ("  ", "Nothing")])
def test_a_refusal_says_what_was_typed_and_that_nothing_was_changed(
    read: Callable[[str], object], why: str, typed: str, said: str
) -> None:
    with pytest.raises(Refusal) as refused:
        read(typed)
    assert str(refused.value) == f"{said} {why}. Nothing was changed."


@pytest.mark.parametrize(
    ("value", "currency", "manner", "told"),
    [
        ("1234.5", "EUR", Manner(), "EUR 1,234.50"),
        ("1234567.005", "EUR", Manner(",", ".", before=False), "1.234.567,01 EUR"),
        ("-3.004", "USD", Manner(), "−USD 3.00"),
        ("-0.004", "USD", Manner(), "USD 0.00"),
        ("-0.005", "USD", Manner(), "−USD 0.01"),
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


def test_where_no_place_is_given_money_is_written_as_nearly_everywhere() -> None:
    assert money_text(Decimal("1234.5"), "EUR") == "EUR\u00a01,234.50"


def test_percent_and_currency() -> None:
    assert percent(" 19,5 % ") == Decimal("19.5")
    assert percent("99.9999") == Decimal("99.9999")
    assert currency_code(" eur ") == "EUR"
    for wrong in ("100", "-1", "x"):
        with pytest.raises(Refusal, match="is no share"):
            percent(wrong)
    with pytest.raises(Refusal, match="is no currency"):
        currency_code("euro")


def test_rates_are_zero_until_set_and_can_be_taken_back() -> None:
    shop, nothing = Shop(), Decimal(0)
    unset = rates.Rates(nothing, nothing, nothing, nothing, "EUR", tax_back=False)
    assert rates.rates(shop.floor) == rates.Rates() == unset
    typed = {
        "hour": "30", "fee_share": "6,5", "fixed_fee": "0,35", "sales_tax": "25 %", "currency": "nok", "tax_back": "yes"
    }  # fmt: skip
    for field, text in typed.items():
        told = shop.press(lambda tx, f=field, t=text: rates.set_rate(tx, f, t))
    kept = rates.Rates(Decimal(30), Decimal("6.5"), Decimal("0.35"), Decimal(25), "NOK", tax_back=True)
    assert told == rates.rates(shop.floor) == kept
    shop.undo()
    assert rates.rates(shop.floor) == replace(kept, tax_back=False)
    with pytest.raises(Refusal, match="is no amount of money"):
        shop.press(lambda tx: rates.set_rate(tx, "hour", "-3"))


@pytest.mark.parametrize(("typed", "kept"), [(" Yes ", "yes"), ("true", "yes"), ("1", "yes"), ("no", "no"), ("", "no")])
def test_rates_stand_among_the_settings_under_names_that_stay(typed: str, kept: str) -> None:
    """Records made before hold them by these names."""
    shop = Shop()
    shop.press(lambda tx: rates.set_rate(tx, "tax_back", typed))
    assert shop.floor.setting("rate tax back") == kept
    assert rates.rates(shop.floor).tax_back is (kept == "yes")
    shop.press(lambda tx: rates.set_rate(tx, "hour", " 30,50 "))
    assert shop.floor.setting("rate hour") == "30.50"


def add(shop: Shop, name: str, kind: CostKind, per: Per, typed: str, pattern: Pattern | None = None) -> CostItem:
    return shop.press(lambda tx: costs.add_cost(tx, name, kind, per, typed, pattern=pattern))


@pytest.fixture
def sends_out() -> Shop:
    """A shop whose route sends out Harden; Saw is done at home."""
    steps = (ROUTE.steps[0], replace(ROUTE.steps[0], key="harden", stage="Harden", name="Harden", kind=Kind.AWAY))
    return Shop(2, replace(ROUTE, steps=steps, rules=()))


def test_costs_are_of_one_pattern_or_of_all() -> None:
    shop = Shop()
    other = shop.press(lambda tx: copy_route(tx, ROUTE, "Parer"))
    steel = add(shop, "Steel", CostKind.MATERIAL, Per.PIECE, "12.40", shop.pattern)
    belts = add(shop, "Belts", CostKind.CONSUMABLE, Per.BATCH, "18")
    thin = add(shop, "Steel", CostKind.MATERIAL, Per.PIECE, "9", other)
    assert (steel.pattern_id, belts.pattern_id, thin.pattern_id) == (shop.pattern.id, None, other.id)
    assert costs.costs_of(shop.floor, shop.pattern) == (steel, belts)
    assert costs.costs_of(shop.floor, other) == (belts, thin)
    gone = shop.press(lambda tx: costs.put_cost_away(tx, steel, away=True))
    assert costs.costs_of(shop.floor, shop.pattern) == (belts,)
    steel = shop.press(lambda tx: costs.put_cost_away(tx, gone, away=False))
    assert costs.costs_of(shop.floor, shop.pattern) == (steel, belts)


def test_a_cost_is_kept_as_typed_and_its_name_once_in_its_list() -> None:
    shop = Shop()
    steel = shop.press(
        lambda tx: costs.add_cost(tx, " Steel ", CostKind.MATERIAL, Per.PIECE, "12,40", pattern=shop.pattern, tax="20")
    )
    assert steel == replace(
        steel, name="Steel", kind=CostKind.MATERIAL, per=Per.PIECE, stage_id=None, days=None, amount="12.40",
        currency="EUR", tax="20", put_away=False,
    )  # fmt: skip
    assert add(shop, "Steel", CostKind.MATERIAL, Per.PIECE, "1").tax == "0"
    for pattern in (shop.pattern, None):
        with pytest.raises(Refusal, match="There is steel already"):
            add(shop, "steel", CostKind.FEE, Per.PIECE, "1", pattern)


@pytest.mark.parametrize("kind", CostKind)
@pytest.mark.parametrize("per", Per)
def test_what_is_paid_by_the_month_or_the_year_is_overhead_and_only_that(kind: CostKind, per: Per) -> None:
    shop = Shop()
    if (kind is CostKind.OVERHEAD) == (per in {Per.MONTH, Per.YEAR}):
        assert add(shop, "Rent", kind, per, "1").per is per
    else:
        with pytest.raises(Refusal) as refused:
            add(shop, "Rent", kind, per, "1")
        why = "What is paid by the month or the year is overhead, and only that. Nothing was changed."
        assert str(refused.value) == why


def test_what_stands_for_a_stage_is_paid_where_that_is_sent_out(sends_out: Shop) -> None:
    shop = sends_out
    belts = add(shop, "Belts", CostKind.CONSUMABLE, Per.BATCH, "18")
    oven = add(shop, "Hardening", CostKind.BOUGHT_OUT, Per.BATCH, "60")
    oven = shop.press(lambda tx: sent_out.stands_for(tx, oven, shop.stage("Harden")))
    sawyer = add(shop, "Sawing", CostKind.BOUGHT_OUT, Per.BATCH, "40")
    sawyer = shop.press(lambda tx: sent_out.stands_for(tx, sawyer, shop.stage("Saw")))
    saw, harden = shop.stage("Saw").id, shop.stage("Harden").id
    assert costs.sent_by_route(shop.floor, shop.pattern) == {harden}
    assert costs.costs_of(shop.floor, shop.pattern) == (belts, oven)
    assert costs.costs_of(shop.floor, shop.pattern, frozenset({saw})) == (belts, sawyer)
    assert costs.costs_of(shop.floor, shop.pattern, frozenset()) == (belts,)


def test_a_batch_sends_out_what_it_does_not_skip(sends_out: Shop) -> None:
    harden = sends_out.step("Harden")
    assert costs.sent_by_batch(sends_out.floor, sends_out.batch) == {harden.stage_id}
    sends_out.press(lambda tx: batches.set_state(tx, harden, StepState.NOT_TIMED))
    assert costs.sent_by_batch(sends_out.floor, sends_out.batch) == {harden.stage_id}
    sends_out.press(lambda tx: batches.set_state(tx, sends_out.step("Harden"), StepState.SKIPPED))
    assert costs.sent_by_batch(sends_out.floor, sends_out.batch) == frozenset()


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


def test_what_is_in_another_currency_is_told_until_it_is_said_anew() -> None:
    shop = Shop()
    belts = add(shop, "Belts", CostKind.CONSUMABLE, Per.BATCH, "18")
    glue = add(shop, "Glue", CostKind.CONSUMABLE, Per.BATCH, "3")
    shop.press(lambda tx: costs.put_cost_away(tx, glue, away=True))
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "240"))
    assert rates.foreign(shop.floor) == ()
    shop.press(lambda tx: rates.set_rate(tx, "currency", "USD"))
    assert rates.foreign(shop.floor) == (belts,)
    assert costs.asked(shop.floor, shop.pattern) is None
    assert shop.press(lambda tx: costs.set_amount(tx, belts, "20")).currency == "USD"
    assert rates.foreign(shop.floor) == ()
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "260"))
    assert costs.asked(shop.floor, shop.pattern) == 260


def test_what_is_asked_is_kept_once_for_each_pattern() -> None:
    shop = Shop()
    other = shop.press(lambda tx: copy_route(tx, ROUTE, "Parer"))
    assert costs.asked(shop.floor, shop.pattern) is None
    assert shop.press(lambda tx: costs.ask(tx, other, "90")) is not None
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "240"))
    kept = shop.press(lambda tx: costs.ask(tx, shop.pattern, "250,5"))
    assert kept is not None
    assert (kept.price, kept.currency) == ("250.5", "EUR")
    assert (costs.asked(shop.floor, shop.pattern), costs.asked(shop.floor, other)) == (Decimal("250.5"), 90)
    assert len(list(shop.floor.all(AskedPrice))) == 2
    for _ in range(2):
        assert shop.press(lambda tx: costs.ask(tx, shop.pattern, " ")) is None
        assert (costs.asked(shop.floor, shop.pattern), costs.asked(shop.floor, other)) == (None, 90)
