"""The quote: its money adds up to the last coin, tax apart, and nothing is made without a price."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.exchange.paper.page import A4, LETTER, PaperSize
from shopclock.exchange.paper.quote import QuoteFacts, quote_facts, quote_pages
from shopclock.shop.planning import orders, quotes
from shopclock.shop.setup import the_shop
from shopclock.shop.setup.rates import set_rate
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.money import Manner
from tests.exchange.paper.layout import assert_sound
from tests.shop.workshop import Shop

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import CustomerOrder


@pytest.fixture(scope="module")
def shop() -> Shop:
    return Shop()


def quoted(
    shop: Shop, wanted: int, price: str, tax: str = "0", deposit: str = "", day: date | None = None
) -> QuoteFacts:
    """The quote for an order; tax in percent."""
    return quote_facts(shop.floor, taken(shop, wanted, price, tax, deposit, day), shop.clock.now_us, Manner())


def taken(shop: Shop, wanted: int, price: str, tax: str, deposit: str, day: date | None) -> CustomerOrder:
    def rule(tx: Transaction) -> CustomerOrder:
        set_rate(tx, "sales_tax", tax)
        order = orders.take_order(tx, "Hollin", shop.pattern, wanted, day)
        return orders.set_deposit(tx, orders.set_price(tx, order, price), deposit)

    return shop.press(rule)


def amounts(quote: QuoteFacts) -> dict[str, Decimal]:
    return {
        name: Decimal(said.replace("EUR\u00a0", "").replace(",", "").replace("−", "-")) for name, said in quote.rows
    }


def test_price_tax_sum_deposit_and_rest(shop: Shop) -> None:
    assert amounts(quoted(shop, 6, "240", "20", "300")) == {
        "Each knife, without tax": 240,
        "6 of them": 1440,
        "Tax, 20 %": 288,
        "With tax": 1728,
        "Deposit": -300,
        "Left to pay": 1428,
    }


def test_without_tax_and_deposit_there_is_no_line_for_them(shop: Shop) -> None:
    assert list(amounts(quoted(shop, 2, "19.90"))) == ["Each knife, without tax", "2 of them"]


@given(
    wanted=st.integers(1, 200),
    coins=st.integers(1, 99_999_999),
    tax=st.integers(1, 9999).map(lambda n: f"{n / 100:.2f}"),
    deposit=st.integers(1, 999_999).map(lambda n: f"{n / 100:.2f}"),
)
def test_what_is_shown_adds_up_whatever_was_typed(shop: Shop, wanted: int, coins: int, tax: str, deposit: str) -> None:
    _, net, of_tax, whole, paid, left = amounts(quoted(shop, wanted, f"{coins / 1000:.3f}", tax, deposit)).values()
    assert net + of_tax == whole
    assert whole + paid == left


def test_who_what_and_by_when(shop: Shop) -> None:
    day = date(2030, 12, 12)
    quote = quoted(shop, 6, "240", day=day)
    assert quote.who == "Hollin"
    assert quote.what.startswith("6 knives, ")
    assert quote.ready == "Ready by Thu 12 Dec 2030."
    assert quoted(shop, 1, "240").ready == "The day is still to be agreed."


def without_price(tx: Transaction, order: CustomerOrder) -> CustomerOrder:
    return orders.set_price(tx, order, "")


def in_another_currency(tx: Transaction, order: CustomerOrder) -> CustomerOrder:
    set_rate(tx, "currency", "CHF")
    return order


@pytest.mark.parametrize(
    ("change", "said"), [(without_price, "has no price yet"), (in_another_currency, "is in EUR, the shop")]
)
def test_without_a_price_that_holds_there_is_no_quote(
    change: Callable[[Transaction, CustomerOrder], CustomerOrder], said: str
) -> None:
    shop = Shop()
    order = taken(shop, 1, "240", "0", "", None)
    order = shop.press(lambda tx: change(tx, order))
    with pytest.raises(ShopError, match=said):
        quote_facts(shop.floor, order, shop.clock.now_us, Manner())


@pytest.mark.parametrize("size", [A4, LETTER], ids=lambda size: size.name)
def test_it_is_one_page_and_nothing_covers_anything(size: PaperSize) -> None:
    rows = tuple((f"A row of money {n}", "EUR\u00a012,345,678.90") for n in range(6))
    note = "Engraved on the left of the blade, " * 6
    who, what = "Orla, two doors down, and daughters", "200 oyster knives, Oyster knife, bog oak handle"
    shop, day = "Gullfallow Creek Knives and Tools", "Wed 25 Nov 2026"
    address = tuple(f"Upper Gullfallow Lane {n}, the yard behind the old dairy" for n in range(5))
    ready = "Ready by Sat 12 Dec 2026. Such a day holds 8 times in 10."
    until = "This quote stands until Fri 25 Dec 2026."
    long = QuoteFacts(shop, address, "2026-007", until, who, day, what, rows, ready, note)
    (page,) = quote_pages(long, size)
    assert_sound(page)
    assert any("tax advice" in text for text in page.texts)


def test_what_goes_out_has_a_number_a_day_until_which_it_stands_and_the_shops_head() -> None:
    """Now is Saturday 24 October 2026: thirty days on is Monday 23 November."""
    shop = Shop()
    shop.press(lambda tx: the_shop.name_shop(tx, " Gullfallow  Creek Knives "))
    shop.press(lambda tx: the_shop.set_address(tx, "Mill Lane 3,  Tarnfell ,, County Nowhere"))
    order = taken(shop, 2, "80", "0", "", date(2026, 12, 12))
    draft = quote_facts(shop.floor, order, shop.clock.now_us, Manner())
    assert (draft.number, draft.until) == ("", "")
    shop.press(lambda tx: quotes.issue(tx, order))
    found = quote_facts(shop.floor, order, shop.clock.now_us, Manner(), "8 times in 10")
    assert (found.shop, found.address) == ("Gullfallow Creek Knives", ("Mill Lane 3", "Tarnfell", "County Nowhere"))
    assert (found.number, found.day) == ("2026-001", "Sat 24 Oct 2026")
    assert found.until == "This quote stands until Mon 23 Nov 2026."
    assert found.ready == "Ready by Sat 12 Dec 2026. Such a day holds 8 times in 10."
    assert {"Quote 2026-001", "Gullfallow Creek Knives", "Mill Lane 3"} <= set(quote_pages(found, A4)[0].texts)


def test_a_quote_whose_price_or_day_was_changed_since_is_none_that_went_out() -> None:
    shop = Shop()
    order = taken(shop, 2, "80", "0", "", None)
    shop.press(lambda tx: quotes.issue(tx, order))
    assert quotes.newest_quote(shop.floor, order) is not None
    cheaper = shop.press(lambda tx: orders.set_price(tx, order, "79"))
    assert quotes.newest_quote(shop.floor, cheaper) is None
    assert quote_facts(shop.floor, cheaper, shop.clock.now_us, Manner()).number == ""
    assert shop.press(lambda tx: quotes.issue(tx, cheaper)).number == "2026-002"


def test_numbers_go_on_within_a_year_and_begin_anew_in_the_next() -> None:
    shop = Shop()
    order = taken(shop, 2, "80", "0", "", None)
    numbers = [shop.press(lambda tx: quotes.issue(tx, order)).number for _ in range(2)]
    shop.clock.on(70 * 24 * 60)
    numbers.append(shop.press(lambda tx: quotes.issue(tx, order)).number)
    assert numbers == ["2026-001", "2026-002", "2027-001"]
