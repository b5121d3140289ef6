"""The orders that are no longer open: handed over, or cancelled; a press opens one again."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.shop.planning.orders import ended_orders, reopen
from shopclock.shop.values.entities import OrderState, Pattern
from shopclock.views.dialogs import Choice
from shopclock.views.page import Page, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.plan.planning import Planning
    from shopclock.shop.values.entities import CustomerOrder
    from shopclock.views.page import Action

ENDED = {OrderState.DONE: "handed over", OrderState.CANCELLED: "cancelled"}


class EarlierPage(Page):
    """The newest first."""

    def __init__(self, stack: Planning) -> None:
        self._stack = stack

    def gone(self) -> bool:
        """Whether all of them are open again."""
        return not ended_orders(self._stack.floor)

    def title(self) -> str:
        """How many of each."""
        ended = ended_orders(self._stack.floor)
        done = sum(order.state is OrderState.DONE for order in ended)
        return f"{done} handed over, {len(ended) - done} cancelled"

    def offers(self) -> Sequence[Action]:
        """The orders."""
        return [self._order(order) for order in ended_orders(self._stack.floor)]

    def _order(self, order: CustomerOrder) -> Action:
        what = f"{order.wanted} {self._stack.floor.get(Pattern, order.pattern_id).name}"
        act = calling(partial(self._ask, order))
        return action(f"order {order.id}", order.who, act, detail=f"{what}, {ENDED[order.state]}")

    def _ask(self, order: CustomerOrder) -> None:
        go_on = on_answer(lambda _key: self._reopen(order))
        self._stack.dialogs.ask(f"The order of {order.who}", (Choice("open", "Open it again"),), go_on)

    def _reopen(self, order: CustomerOrder) -> None:
        self._stack.do(f"{order.who} open again", lambda tx: reopen(tx, order))
