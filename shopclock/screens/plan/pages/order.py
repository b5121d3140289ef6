"""One order: for whom, how many, by when, at what price, which pieces go to it, and how surely it holds."""

from __future__ import annotations

from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.plan.asking import ask_day
from shopclock.shop.planning import orders
from shopclock.shop.planning.quotes import issue, next_number
from shopclock.shop.setup.costs import asked
from shopclock.shop.state.wording import counted, day_text
from shopclock.shop.values.entities import Batch, CustomerOrder, OrderState, Pattern, Piece
from shopclock.views.dialogs import COUNT, Choice
from shopclock.views.field import Name, Number, Pick, field
from shopclock.views.page import Body, Page, PageContent, TextLine, item

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from shopclock.analysis.plan.order_told import OrderTold
    from shopclock.screens.plan.planning import Planning
    from shopclock.shop.state.transaction import Transaction
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

ENDS = (Choice("done", "Handed over"), Choice("cancelled", "Fell through", "its letters are free again"))
ENDED = {OrderState.DONE: "handed over", OrderState.CANCELLED: "fell through"}


def take_order(stack: Planning, pattern: Pattern, wanted: int, day: date | None) -> Asking[object]:
    """Ask for whom, take an order and reserve the pieces that there are for it: one press, and its page."""
    who = yield from Name("Who is it for")

    def take(tx: Transaction) -> CustomerOrder:
        order = orders.take_order(tx, who, pattern, wanted, day)
        orders.reserve(tx, order)
        return order

    def show(order: CustomerOrder) -> OrderPage:
        stack.home()
        return OrderPage(stack, order)

    return stack.make(f"Order of {who}", take, show)


class OrderPage(Page):
    """An order, and the letters that can go to it: its own, and the free ones of its pattern."""

    def __init__(self, stack: Planning, order: CustomerOrder) -> None:
        self._stack = stack
        self._id = order.id
        self._told: AsyncAnswer[OrderTold] = AsyncAnswer(stack.work, stack.changed)

    def content(self) -> PageContent | None:
        """Content: what is agreed, what is reserved, how surely it holds; nothing once it has ended."""
        stack, floor = self._stack, self._stack.floor
        order = floor.find(CustomerOrder, self._id)
        if order is None or order.state is not OrderState.OPEN:
            return None
        self._ask()
        pattern, day, lacks = floor.get(Pattern, order.pattern_id), orders.promised_day(order), self._lacks(order)
        by = f" by {day_text(day)}" if day is not None else ", no day promised"
        own = orders.pieces_of(floor, order)
        free = [piece for found in orders.unpromised(floor, pattern) for piece in found.pieces]
        pieces = sorted({piece.id: piece for piece in (*own, *free)}.values(), key=lambda p: (p.batch_id, p.position))
        money = {"Price": order.price, "deposit": order.deposit}
        told = [f"{name} {stack.money(Decimal(typed), order.currency)}" for name, typed in money.items() if typed]
        press = f"Press a letter to reserve it. {lacks}" if lacks else "All of it has its letters."
        return PageContent(
            f"{order.who}: {order.wanted} {pattern.name}{by}",
            [f"{', '.join(told)}. {press}" if told else press, *self._holds()],
            [self._letter(order, piece, checked=piece in own) for piece in pieces],
            [*self._first(order), *self._changes(order, pattern)],
            Body.PIECES,
            room=3,
        )

    def _ask(self) -> None:
        """Have it worked out, once for each state of the record: roughly first."""
        from shopclock.analysis.forecast.forecast import QUICK_DRAWS
        from shopclock.analysis.plan.order_told import order_told

        record = self._stack.record
        task = partial(order_told, str(record.path), self._id, record.instant())
        self._told.ask(record.next_undo, partial(task, draws=QUICK_DRAWS), task)

    def _lacks(self, order: CustomerOrder) -> str:
        """Say what it lacks letters for, and how many more that are than there are pieces; nothing where it has all."""
        floor = self._stack.floor
        lacks, short = orders.missing(floor, order), orders.short(floor, order)
        if not lacks:
            return ""
        return f"{lacks} lacking, {short} more than there are." if short else f"{lacks} lacking."

    def _holds(self) -> list[TextLine]:
        """The line about its day, in red where the promise doesn't hold."""
        told = self._told.answer
        if told is None:
            return [TextLine(self._told.why or "Working it out …")]
        return [TextLine(f"Roughly: {told.said}" if self._told.rough else told.said, "text" if told.kept else "red")]

    def _letter(self, order: CustomerOrder, piece: Piece, *, checked: bool) -> Action:
        stack = self._stack

        def press() -> None:
            if checked:
                stack.do(f"{piece.mark} for nobody", lambda tx: orders.untie(tx, piece))
            else:
                stack.do(f"{piece.mark} for {order.who}", lambda tx: orders.tie(tx, order, piece))

        batch = stack.floor.get(Batch, piece.batch_id).name
        return item(f"piece {piece.id}", piece.mark, press, detail=batch, checked=checked)

    def _first(self, order: CustomerOrder) -> Iterator[Action]:
        """Yield what is most likely wanted: the pieces it lacks; the day that holds where the promised one does not."""
        stack, told = self._stack, self._told.answer
        there = orders.reservable(stack.floor, order, orders.missing(stack.floor, order))
        if there:
            n = counted(stack.floor, "piece", len(there))
            reserve = partial(stack.do, f"{n} for {order.who}", lambda tx: orders.reserve(tx, order))
            yield item("reserve", f"Reserve {len(there)}", reserve, role="primary")
        if told is not None and told.day is not None and not told.kept and not self._told.rough:
            yield item("new day", day_text(told.day), partial(self._promise, order, told.day), "promise this day")
        elif order.promised:  # its place is kept
            yield item("new day", "A day that holds", lambda: None, why_not=self._no_day())

    def _no_day(self) -> str:
        """Say why no other day is offered."""
        told = self._told.answer
        if told is None or self._told.rough:
            return "The day is not worked out yet."
        return "The promised day holds." if told.kept else "No day holds 8 times in 10."

    def _promise(self, order: CustomerOrder, day: date) -> None:
        self._stack.do(f"Promised for {day_text(day)}", lambda tx: orders.promise(tx, order, day))

    def _quote(self, order: CustomerOrder) -> None:
        """Give the quote its number and put it on paper; pressed again with nothing changed since it is the same."""
        from shopclock.exchange.paper.quote import quote_facts, quote_pages

        stack, newest, told = self._stack, self._stack.record.next_undo, self._told.answer
        facts = quote_facts(stack.floor, order, stack.record.instant(), stack.manner)  # refused before it has a number
        if not facts.number or newest is None or newest.what != f"Quote {facts.number}":
            number = next_number(stack.floor, stack.today.year)
            if stack.do(f"Quote {number}", lambda tx: issue(tx, order)) is None:
                return
        often = told.often if told is not None and not self._told.rough else ""
        facts = quote_facts(stack.floor, order, stack.record.instant(), stack.manner, often)
        stack.paper.put(f"Quote {facts.number} {order.who}", lambda size: quote_pages(facts, size))

    def _changes(self, order: CustomerOrder, pattern: Pattern) -> list[Action]:
        """Actions that change an order, its quote, and its end."""
        stack = self._stack

        def want(typed: str) -> None:
            n = int(typed) if typed.isdecimal() else 0
            stack.do(f"{order.who} wants {typed}", lambda tx: orders.set_wanted(tx, order, n))

        def sell(typed: str) -> None:
            stack.do(f"Price {typed}", lambda tx: orders.set_price(tx, order, typed))

        def pay_down(typed: str) -> None:
            stack.do(f"Deposit {typed}", lambda tx: orders.set_deposit(tx, order, typed))

        def end(key: str) -> None:
            state = OrderState(key)
            stack.do(f"Order of {order.who} {ENDED[state]}", lambda tx: orders.end_order(tx, order, state))

        usual = asked(stack.floor, pattern)
        start = order.price or (f"{usual:f}" if usual is not None else "")
        price = Number(f"Price of each, without tax, in {order.currency}", start)
        deposit = Number(f"Paid down for all of it, in {order.currency}", order.deposit or "")
        many, by = Number("How many", str(order.wanted), signs=COUNT), ask_day("Promised for which day", stack.today)
        return [
            field("wanted", "How many", "", many, want, role="raised"),
            field("day", "By when", "", by, partial(self._promise, order), role="raised"),
            field("price", "Price", "", price, sell, role="raised"),
            field("deposit", "Deposit", "", deposit, pay_down, role="raised"),
            item("quote", "Quote", partial(self._quote, order), role="raised"),
            field("end", "Close it", "", Pick(f"The order of {order.who}", ENDS), end, role="raised"),
        ]
