"""The quote for an order: whose, its number, who, what, at what price, tax apart, by which day; on one page."""

from dataclasses import dataclass
from decimal import Decimal

from shopclock.analysis.money.cost import with_tax
from shopclock.exchange.paper.page import LEADING, PageDraft, PaperPage, PaperSize
from shopclock.exchange.paper.source import dated, day_of, shop_name
from shopclock.shop.planning.orders import promised_day
from shopclock.shop.planning.quotes import newest_quote, stands_until
from shopclock.shop.setup.rates import Rates, rates
from shopclock.shop.setup.the_shop import address
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import counted, word
from shopclock.shop.values.entities import CustomerOrder, Pattern
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.money import Manner, money_text, rounded

SMALL_PRINT = "A quote, no invoice. Nothing on it is tax advice: the law of the place says what tax is owed."
BODY_MM = 4.6
READY_MM = 5.4
ROW_MM = 8.5
ADDRESS_MM, LINE_MM = 3.6, 5.2


@dataclass(frozen=True, slots=True)
class QuoteFacts:
    """Facts on a quote; the rows of money add up, and the last of them is what is to be paid.

    `number` and `until`: of the quote that went out; empty on a draft. `address`: its lines.
    """

    shop: str
    address: tuple[str, ...]
    number: str
    until: str
    who: str
    day: str
    what: str
    rows: tuple[tuple[str, str], ...]
    ready: str
    note: str


def quote_facts(floor: ShopFloor, order: CustomerOrder, now_us: int, manner: Manner, often: str = "") -> QuoteFacts:
    """Read a quote off an order. ShopError where it has no price, or one in another currency.

    Its number is that of the quote that went out last, as long as that says the same. `often`: how often such a day
    holds, in words; "" where that can't be told.
    """
    if order.price is None:
        raise ShopError(f"The order of {order.who} has no price yet. Nothing was written; press Price first.")
    own = rates(floor)
    if order.currency != own.currency:
        raise ShopError(
            f"The price of {order.who} is in {order.currency}, the shop reckons in {own.currency}. "
            "Nothing was written; press Price and type it anew."
        )
    day = promised_day(order)
    pattern = floor.get(Pattern, order.pattern_id).name
    issued = newest_quote(floor, order)
    holds = f" Such a day holds {often}." if often else ""
    return QuoteFacts(
        shop=shop_name(floor),
        address=address(floor),
        number=issued.number if issued is not None else "",
        until=f"This quote stands until {dated(stands_until(issued))}." if issued is not None else "",
        who=order.who,
        day=dated(day_of(floor, issued.at_us if issued is not None else now_us)),
        what=f"{counted(floor, 'finished', order.wanted)}, {pattern}",
        rows=_rows(f"Each {word(floor, 'finished').one}", order, own, manner),
        ready=f"Ready by {dated(day)}.{holds}" if day is not None else "The day is still to be agreed.",
        note=order.note,
    )


def _rows(each: str, order: CustomerOrder, own: Rates, manner: Manner) -> tuple[tuple[str, str], ...]:
    """The price of each, of all, tax, the sum, the deposit, the rest; what there is none of is left out."""
    price = Decimal(order.price or 0)
    net = rounded(price * order.wanted, order.currency)
    whole = rounded(with_tax(net, own), order.currency)
    rows = [(f"{each}, without tax", price), (f"{order.wanted} of them", net)]
    if own.sales_tax:
        rows += [(f"Tax, {own.sales_tax.normalize():f} %", whole - net), ("With tax", whole)]
    if order.deposit:
        rows += [("Deposit", -Decimal(order.deposit)), ("Left to pay", whole - Decimal(order.deposit))]
    return tuple((name, money_text(amount, order.currency, manner)) for name, amount in rows)


def quote_pages(quote: QuoteFacts, size: PaperSize) -> tuple[PaperPage, ...]:
    """Lay a quote out on one page."""
    draft = PageDraft(size)
    _head(draft, quote)
    draft.across(quote.what, 6.5, bold=True, gap_mm=4.0)
    for n, row in enumerate(quote.rows):
        _row(draft, row, last=n == len(quote.rows) - 1)
    draft.y_mm += 8.0
    draft.across(quote.ready, READY_MM, bold=True, gap_mm=3.0)
    if quote.until:
        draft.paragraph(quote.until, BODY_MM)
    if quote.note:
        draft.paragraph(quote.note, BODY_MM)
    _foot(draft)
    return (draft.page(),)


def _head(draft: PageDraft, quote: QuoteFacts) -> None:
    """The shop and its address on the left, the quote and its number on the right."""
    half, title = draft.width_mm / 2, f"Quote {quote.number}" if quote.number else "Quote, a draft"
    draft.text((draft.left_mm, draft.y_mm, half, 12.0), quote.shop, 7.5, bold=True)
    draft.text((draft.left_mm + half, draft.y_mm, half, 12.0), title, 7.5, bold=True, across=1.0)
    draft.y_mm += 12.0
    for line in quote.address:
        draft.text((draft.left_mm, draft.y_mm, draft.width_mm, LINE_MM), line, ADDRESS_MM)
        draft.y_mm += LINE_MM
    draft.y_mm += 2.0
    draft.line(draft.left_mm, draft.y_mm, draft.right_mm, draft.y_mm, 0.5)
    draft.y_mm += 10.0
    draft.text((draft.left_mm, draft.y_mm, half, 8.0), f"For {quote.who}", BODY_MM)
    draft.text((draft.left_mm + half, draft.y_mm, half, 8.0), quote.day, BODY_MM, across=1.0)
    draft.y_mm += 22.0


def _row(draft: PageDraft, row: tuple[str, str], *, last: bool) -> None:
    """A name on the left, an amount on the right; the last of them stands out."""
    if last:
        draft.line(draft.left_mm, draft.y_mm, draft.right_mm, draft.y_mm, 0.4)
    size, half = (5.4 if last else BODY_MM), draft.width_mm / 2
    draft.text((draft.left_mm, draft.y_mm, half, ROW_MM), row[0], size, bold=last)
    draft.text((draft.left_mm + half, draft.y_mm, half, ROW_MM), row[1], size, bold=last, across=1.0)
    draft.y_mm += ROW_MM
    draft.line(draft.left_mm, draft.y_mm, draft.right_mm, draft.y_mm, 0.15)


def _foot(draft: PageDraft) -> None:
    """Two lines to be signed on, and what it is not."""
    small, half = 2.8, draft.width_mm / 2 - 6.0
    draft.y_mm = draft.bottom_mm - small * LEADING - 14.0
    for x, name in ((draft.left_mm, "Day and name, the shop"), (draft.right_mm - half, "Day and name, agreed")):
        draft.line(x, draft.y_mm, x + half, draft.y_mm, 0.2)
        draft.text((x, draft.y_mm + 1.0, half, 5.0), name, small)
    draft.y_mm = draft.bottom_mm - small * LEADING
    draft.across(SMALL_PRINT, small)
