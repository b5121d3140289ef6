"""A piece that was reserved is lost: whose it was, and which other that order can have. Bench and Batches ask alike."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shopclock.shop.planning import orders
from shopclock.shop.values.entities import Batch, OrderState, Piece
from shopclock.views.dialogs import Choice

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import CustomerOrder
    from shopclock.views.dialogs import Then

    Ask = Callable[[str, Sequence[Choice], Then], object]
    Do = Callable[[str, Callable[[Transaction], Any]], object]

SHORT = Choice("short", "Short by one", "and the day of another")


class Instead:
    """Asks what an order gets instead of a piece that it can no longer have."""

    def __init__(self, floor: ShopFloor, ask: Ask, do: Do, go: ShowScreen) -> None:
        self._floor = floor
        self._ask = ask
        self._do = do
        self._go = go

    def ask(self, piece_id: int) -> None:
        """Ask where a piece was promised and is lost or a second; where none is left, whom that leaves short."""
        floor, piece = self._floor, self._floor.find(Piece, piece_id)
        if piece is None or not (piece.second or not orders.can_be_sold(piece)):
            return
        order = orders.order_of_piece(floor, piece)
        if order is not None and order.state is OrderState.OPEN:
            self._ask_for(order, piece)
        elif order is None and not piece.living:
            self._ask_short(piece)

    def _ask_for(self, order: CustomerOrder, piece: Piece) -> None:
        other = orders.replacement(self._floor, order, piece)
        free = f"{other.mark} is free" if other is not None else "no other is free"
        lost = f"{piece.mark}, a second, is {order.who}'s" if piece.living else f"{piece.mark} was {order.who}'s"

        def answered(key: str | None) -> None:
            if key == "give" and other is not None:
                what = f"{other.mark} for {order.who}"
                self._do(what, lambda tx: orders.instead(tx, order, piece, other))
            elif key == "short":
                what = f"{order.who} short by one"
                self._do(what, lambda tx: orders.instead(tx, order, piece, None))
                self._go("order", order.id)

        self._ask(f"{lost}; {free}", list(self._ways(order, piece, other)), answered)

    def _ways(self, order: CustomerOrder, piece: Piece, other: Piece | None) -> Iterator[Choice]:
        if other is not None:
            where = "" if other.batch_id == piece.batch_id else f"of {self._floor.get(Batch, other.batch_id).name}"
            yield Choice("give", f"Give {order.who} {other.mark}", where)
        if piece.living:
            yield Choice("leave", f"{order.who} takes it", "as a second")
        yield SHORT

    def _ask_short(self, piece: Piece) -> None:
        """Say whom the loss of a piece for nobody leaves without one."""
        floor = self._floor
        pattern = floor.get(Batch, piece.batch_id).pattern_id
        left = [o for o in orders.open_orders(floor) if o.pattern_id == pattern and orders.short(floor, o)]
        if left:
            last = left[-1]

            def answered(key: str | None) -> None:
                if key is not None:
                    self._go("order", last.id)

            self._ask(f"{piece.mark} was needed: none is left for {last.who}", (SHORT,), answered)
