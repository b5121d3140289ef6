"""Papers as files, by the name of a batch or of who ordered. Qt is imported when one is written."""

from collections.abc import Callable, Sequence
from pathlib import Path

from shopclock.exchange.names import batches_named, order_named
from shopclock.exchange.paper.card import card_pages
from shopclock.exchange.paper.card_facts import card_facts
from shopclock.exchange.paper.page import SIZES, PaperPage, PaperSize, stamped
from shopclock.exchange.paper.quote import quote_facts, quote_pages
from shopclock.exchange.paper.review_facts import review_facts
from shopclock.exchange.paper.review_sheet import review_pages
from shopclock.exchange.paper.source import size_for
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.state.demo_mark import demo_said
from shopclock.shop.values.entities import CustomerOrder, OrderState
from shopclock.shop.values.errors import ShopError


def write_card(reading: ReadOnlyRecord, name: str, path: Path, paper: str | None, now_us: int) -> None:
    """Write the card of the newest batch of this name; ShopError says why it can't be."""
    batch = batches_named(reading.floor, name)[-1]
    card = card_facts(reading, batch.id, now_us)
    _write(reading, lambda size: card_pages(card, size), path, paper, f"Card {batch.name}")


def write_review(reading: ReadOnlyRecord, name: str, path: Path, paper: str | None, now_us: int) -> None:
    """Write the review of the newest batch of this name; ShopError says why it can't be."""
    batch = batches_named(reading.floor, name)[-1]
    sheet = review_facts(reading, batch.id, now_us)
    _write(reading, lambda size: review_pages(sheet, size), path, paper, f"Review {batch.name}")


def write_quote(reading: ReadOnlyRecord, record: Path, who: str, path: Path, paper: str | None, now_us: int) -> None:
    """Write the quote for the order of somebody; ShopError says why it can't be."""
    from shopclock.exchange.printing.output import manner_here

    order = order_named(reading.floor, who)
    quote = quote_facts(reading.floor, order, now_us, manner_here(), _often(record, order, now_us))
    _write(reading, lambda size: quote_pages(quote, size), path, paper, f"Quote {order.who}")


def _often(record: Path, order: CustomerOrder, now_us: int) -> str:
    """Say how often the promised day holds; nothing where there is none, or no plan can be made."""
    from shopclock.analysis.plan.order_told import order_told

    if order.promised is None or order.state is not OrderState.OPEN:
        return ""
    try:
        return order_told(str(record), order.id, now_us).often
    except ShopError:
        return ""


def _write(
    reading: ReadOnlyRecord, make: Callable[[PaperSize], Sequence[PaperPage]], path: Path, paper: str | None, title: str
) -> None:
    from shopclock.exchange.printing.output import size_here, to_pdf

    size = SIZES[paper] if paper is not None else size_for(reading.floor, size_here())
    to_pdf(stamped(make(size), demo_said(reading.floor)), path, title)
