"""One order: for whom, how many, by when, at what price, and which pieces go to it."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from shopclock.screens.paged.described import PageAbout
from shopclock.screens.plan.asking import ask_day, ask_pattern
from shopclock.shop.planning import orders
from shopclock.shop.setup.costs import asked
from shopclock.shop.state.wording import day_text
from shopclock.shop.values.entities import Batch, CustomerOrder, OrderState, Pattern, Piece
from shopclock.shop.values.errors import Refusal
from shopclock.views.dialogs import COUNT, Choice
from shopclock.views.field import Name, Number, Pick, field
from shopclock.views.page import Body, PageContent, item

if TYPE_CHECKING:
    from datetime import date

    from shopclock.screens.plan.planning import Planning
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

ENDS = (Choice("done", "Handed over"), Choice("cancelled", "Cancelled", "its letters are free again"))


def new_order(stack: Planning) -> Asking[object]:
    """Ask for the pattern of a new order; the rest is set on its page."""
    if not stack.patterns:
        raise Refusal("There is no pattern yet. Copy a route in the Shop first.")
    return (yield from take_order(stack, (yield from ask_pattern(stack.patterns)), 1, None))


def take_order(stack: Planning, pattern: Pattern, wanted: int, day: date | None) -> Asking[object]:
    """Ask for whom, and take an order."""
    who = yield from Name("Who is it for")
    return stack.make(
        f"Order of {who}",
        lambda tx: orders.take_order(tx, who, pattern, wanted, day),
        lambda order: PageAbout(stack, order, order_page),
    )


def order_page(stack: Planning, order: CustomerOrder) -> PageContent | None:
    """An order, and the letters that can go to it: its own, and the free ones of its pattern; nothing once it ended."""
    if order.state is not OrderState.OPEN:
        return None
    floor, pattern = stack.floor, stack.floor.get(Pattern, order.pattern_id)
    day, lacks = orders.promised_day(order), orders.missing(floor, order)
    by = f" by {day_text(day)}" if day is not None else ", no day promised"
    money = {"Price": order.price, "deposit": order.deposit}
    told = [f"{name} {stack.money(Decimal(typed), order.currency)}" for name, typed in money.items() if typed]
    press = f"Press a letter to promise it. {lacks} still lacking." if lacks else "All of it has its letters."
    own = orders.pieces_of(floor, order)
    free = [piece for found in orders.unpromised(floor, pattern) for piece in found.pieces]
    pieces = sorted({piece.id: piece for piece in (*own, *free)}.values(), key=lambda p: (p.batch_id, p.position))
    return PageContent(
        f"{order.who}: {order.wanted} {pattern.name}{by}",
        [f"{', '.join(told)}. {press}" if told else press],
        [_letter(stack, order, piece, checked=piece in own) for piece in pieces],
        _changes(stack, order, pattern),
        Body.PIECES,
    )


def _letter(stack: Planning, order: CustomerOrder, piece: Piece, *, checked: bool) -> Action:
    def press() -> None:
        if checked:
            stack.do(f"{piece.mark} for nobody", lambda tx: orders.untie(tx, piece))
        else:
            stack.do(f"{piece.mark} for {order.who}", lambda tx: orders.tie(tx, order, piece))

    batch = stack.floor.get(Batch, piece.batch_id).name
    return item(f"piece {piece.id}", piece.mark, press, detail=batch, checked=checked)


def _changes(stack: Planning, order: CustomerOrder, pattern: Pattern) -> list[Action]:
    """Actions that change an order, its quote, and its end."""

    def want(typed: str) -> None:
        n = int(typed) if typed.isdecimal() else 0
        stack.do(f"{order.who} wants {typed}", lambda tx: orders.set_wanted(tx, order, n))

    def promise(day: date) -> None:
        stack.do(f"Promised for {day_text(day)}", lambda tx: orders.promise(tx, order, day))

    def sell(typed: str) -> None:
        stack.do(f"Price {typed}", lambda tx: orders.set_price(tx, order, typed))

    def pay_down(typed: str) -> None:
        stack.do(f"Deposit {typed}", lambda tx: orders.set_deposit(tx, order, typed))

    def quote() -> None:
        from shopclock.exchange.paper.quote import quote_facts, quote_pages

        facts = quote_facts(stack.floor, order, stack.record.instant(), stack.manner)
        stack.paper.put(f"Quote {order.who}", lambda size: quote_pages(facts, size))

    def end(key: str) -> None:
        stack.do(f"Order {key}", lambda tx: orders.end_order(tx, order, OrderState(key)))

    usual = asked(stack.floor, pattern)
    start = order.price or (f"{usual:f}" if usual is not None else "")
    price = Number(f"Price of each, without tax, in {order.currency}", start)
    deposit = Number(f"Paid down for all of it, in {order.currency}", order.deposit or "")
    many, by = Number("How many", str(order.wanted), signs=COUNT), ask_day("Promised for which day", stack.today)
    return [
        field("wanted", "How many", "", many, want, role="raised"),
        field("day", "By when", "", by, promise, role="raised"),
        field("price", "Price", "", price, sell, role="raised"),
        field("deposit", "Deposit", "", deposit, pay_down, role="raised"),
        item("quote", "Quote", quote, role="raised"),
        field("end", "Close it", "", Pick(f"The order of {order.who}", ENDS), end, role="primary"),
    ]
