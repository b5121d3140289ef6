"""One order: for whom, how many, by when, at what price, and which pieces go to it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.plan.days import ask_day
from shopclock.shop.planning import orders
from shopclock.shop.setup.costs import asked
from shopclock.shop.state.wording import day_text, shop_time, zone_of
from shopclock.shop.values.entities import Batch, CustomerOrder, OrderState, Pattern, Piece
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.money import money_text
from shopclock.views.dialogs import COUNT, Choice
from shopclock.views.page import Body, Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date
    from decimal import Decimal

    from shopclock.screens.plan.planning import Planning
    from shopclock.views.page import Action


def ask_new(stack: Planning) -> None:
    """Ask for the pattern of a new order; the rest is set on its page."""
    patterns = [pattern for pattern in stack.floor.all(Pattern) if not pattern.put_away]
    if not patterns:
        raise Refusal("There is no pattern yet. Copy a route in the Shop first.")
    choices = [Choice(str(pattern.id), pattern.name) for pattern in patterns]
    go_on = on_answer(lambda key: take(stack, stack.floor.get(Pattern, int(key)), 1, None))
    stack.dialogs.ask("Which pattern", choices, go_on)


def take(stack: Planning, pattern: Pattern, wanted: int, day: date | None) -> None:
    """Ask for whom, and take an order."""
    stack.dialogs.text("Who is it for", "", on_answer(partial(_taken, stack, pattern, wanted, day)))


def _taken(stack: Planning, pattern: Pattern, wanted: int, day: date | None, who: str) -> None:
    order = stack.do(f"Order of {who}", lambda tx: orders.take_order(tx, who, pattern, wanted, day))
    if order is not None:
        stack.open(OrderPage(stack, order.id))


class OrderPage(Page):
    """An order, and the letters that can go to it."""

    body = Body.PIECES

    def __init__(self, stack: Planning, order_id: int) -> None:
        self._stack = stack
        self._order_id = order_id

    @property
    def order(self) -> CustomerOrder:
        """The order as it is now."""
        return self._stack.floor.get(CustomerOrder, self._order_id)

    def gone(self) -> bool:
        """Whether it was taken back, or is done."""
        order = self._stack.floor.find(CustomerOrder, self._order_id)
        return order is None or order.state is not OrderState.OPEN

    def title(self) -> str:
        """Who, how many of what, by when."""
        order = self.order
        day = orders.promised_day(order)
        by = f" by {day_text(day)}" if day is not None else ", no day promised"
        return f"{order.who}: {order.wanted} {self._stack.floor.get(Pattern, order.pattern_id).name}{by}"

    def lines(self) -> Sequence[TextLine]:
        """Price and deposit, and what is still lacking."""
        order = self.order
        lacks = orders.missing(self._stack.floor, order)
        told = [
            f"{name} {self._money(typed)}"
            for name, typed in (("Price", order.price), ("deposit", order.deposit))
            if typed
        ]
        press = f"Press a letter to promise it. {lacks} still lacking." if lacks else "All of it has its letters."
        return [TextLine(", ".join([*told, press]) if not told else f"{', '.join(told)}. {press}")]

    def _money(self, typed: str) -> str:
        from decimal import Decimal as Exact

        amount: Decimal = Exact(typed)
        return money_text(amount, self.order.currency, self._stack.manner)

    def offers(self) -> Sequence[Action]:
        """The letters of open batches of the pattern: those that go to it, and those that are free."""
        floor = self._stack.floor
        own = {piece.id for piece in orders.pieces_of(floor, self.order)}
        found = [floor.get(Piece, number) for number in own]
        free = orders.unpromised(floor, floor.get(Pattern, self.order.pattern_id))
        pieces = sorted([*found, *(p for f in free for p in f.pieces)], key=lambda p: (p.batch_id, p.position))
        return [self._letter(piece, checked=piece.id in own) for piece in pieces]

    def _letter(self, piece: Piece, *, checked: bool) -> Action:
        batch = self._stack.floor.get(Batch, piece.batch_id).name
        act = calling(partial(self._untie if checked else self._tie, piece))
        return action(f"piece {piece.id}", piece.mark, act, detail=batch, checked=checked)

    def _tie(self, piece: Piece) -> None:
        self._stack.do(f"{piece.mark} for {self.order.who}", lambda tx: orders.tie(tx, self.order, piece))

    def _untie(self, piece: Piece) -> None:
        self._stack.do(f"{piece.mark} for nobody", lambda tx: orders.untie(tx, piece))

    def actions(self) -> Sequence[Action]:
        """What can be changed, and its end."""
        return [
            action("wanted", "How many", calling(self._ask_wanted), role="raised"),
            action("day", "By when", calling(self._ask_day), role="raised"),
            action("price", "Price", calling(self._ask_price), role="raised"),
            action("deposit", "Deposit", calling(self._ask_deposit), role="raised"),
            action("quote", "Quote", calling(self._quote), role="raised"),
            action("end", "Done", calling(self._ask_end), role="primary"),
        ]

    def _ask_wanted(self) -> None:
        self._stack.dialogs.number("How many", str(self.order.wanted), on_answer(self._set_wanted), signs=COUNT)

    def _set_wanted(self, typed: str) -> None:
        n = int(typed) if typed.isdecimal() else 0
        self._stack.do(f"{self.order.who} wants {typed}", lambda tx: orders.set_wanted(tx, self.order, n))

    def _ask_day(self) -> None:
        today = shop_time(self._stack.record.instant(), zone_of(self._stack.floor)).date()
        ask_day(self._stack.dialogs, "Promised for which day", today, self._promise)

    def _promise(self, day: date) -> None:
        self._stack.do(f"Promised for {day_text(day)}", lambda tx: orders.promise(tx, self.order, day))

    def _ask_price(self) -> None:
        question = f"Price of each, without tax, in {self.order.currency}"
        usual = asked(self._stack.floor, self._stack.floor.get(Pattern, self.order.pattern_id))
        now = self.order.price or (f"{usual:f}" if usual is not None else "")
        self._stack.dialogs.number(question, now, on_answer(self._set_price))

    def _set_price(self, typed: str) -> None:
        self._stack.do(f"Price {typed}", lambda tx: orders.set_price(tx, self.order, typed))

    def _ask_deposit(self) -> None:
        question = f"Paid down for all of it, in {self.order.currency}"
        self._stack.dialogs.number(question, self.order.deposit or "", on_answer(self._set_deposit))

    def _set_deposit(self, typed: str) -> None:
        self._stack.do(f"Deposit {typed}", lambda tx: orders.set_deposit(tx, self.order, typed))

    def _quote(self) -> None:
        """Put the quote on paper; without a price a sentence says that one is needed."""
        from shopclock.exchange.paper.quote import quote_facts, quote_pages

        stack = self._stack
        quote = quote_facts(stack.floor, self.order, stack.record.instant(), stack.manner)
        stack.paper.put(f"Quote {self.order.who}", lambda size: quote_pages(quote, size))

    def _ask_end(self) -> None:
        choices = (Choice("done", "Handed over"), Choice("cancelled", "Cancelled", "its letters are free again"))
        self._stack.dialogs.ask(f"The order of {self.order.who}", choices, on_answer(self._end))

    def _end(self, key: str) -> None:
        self._stack.do(f"Order {key}", lambda tx: orders.end_order(tx, self.order, OrderState(key)))
