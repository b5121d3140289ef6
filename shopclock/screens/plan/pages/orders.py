"""The first page of Plan: the open orders, how surely each holds, and the two questions."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.analysis.plan.promise import times_text
from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.plan.days import FEW
from shopclock.screens.plan.pages.earlier import EarlierPage
from shopclock.screens.plan.pages.hours import HoursPage
from shopclock.screens.plan.pages.money import CostsPage
from shopclock.screens.plan.pages.next_batch import NextBatchPage
from shopclock.screens.plan.pages.order import OrderPage, ask_new
from shopclock.screens.plan.pages.promise import PromisePage
from shopclock.screens.plan.pages.the_plan import PlanPage
from shopclock.shop.planning.orders import ended_orders, missing, open_orders, promised_day, unpromised
from shopclock.shop.state.wording import counted, day_text
from shopclock.shop.values.entities import Pattern
from shopclock.views.page import Page, TextLine, action, calling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.plan.planning import Planning
    from shopclock.shop.values.entities import CustomerOrder
    from shopclock.views.page import Action

HOLDS = 0.8


class OrdersPage(Page):
    """Every open order by promise."""

    def __init__(self, stack: Planning) -> None:
        self._stack = stack
        self._held: AsyncAnswer[dict[int, float]] = AsyncAnswer(stack.work, stack.changed)

    def title(self) -> str:
        """How many orders, and how many can still be promised."""
        floor = self._stack.floor
        orders = len(open_orders(floor))
        free = sum(len(found.pieces) for found in unpromised(floor))
        said = "No open orders" if not orders else f"{orders} open {'order' if orders == 1 else 'orders'}"
        return f"{said}, {counted(floor, 'piece', free)} unpromised"

    def lines(self) -> Sequence[TextLine]:
        """Why it can't be told how the promises hold, where it can't; then which unpromised pieces there are."""
        floor = self._stack.floor
        told = [f"{f.batch.name}: {' '.join(p.mark for p in f.pieces)}" for f in unpromised(floor)]
        free = (TextLine(f"Unpromised: {'; '.join(told)}"),) if told else ()
        promised = any(order.promised for order in open_orders(floor))
        return (TextLine(self._held.why, "red"), *free) if promised and self._held.why else free

    def offers(self) -> Sequence[Action]:
        """The orders: what no longer holds first, then by promise."""
        self._ask()
        listed = sorted(open_orders(self._stack.floor), key=lambda order: not self._broken(order))
        return [*(self._order(order) for order in listed), *self._earlier()]

    def _earlier(self) -> Sequence[Action]:
        n = len(ended_orders(self._stack.floor))
        act = calling(lambda: self._stack.open(EarlierPage(self._stack)))
        return (
            [action("earlier", "Earlier orders", act, detail=f"{n} handed over or cancelled", role="raised")]
            if n
            else []
        )

    def actions(self) -> Sequence[Action]:
        """A question, an order, and what the answers rest on."""
        return [
            action("promise", "Promise?", calling(self._promise), role="primary"),
            action("next", "Next batch", calling(lambda: self._stack.open(NextBatchPage(self._stack))), role="raised"),
            action("plan", "The plan", calling(lambda: self._stack.open(PlanPage(self._stack))), role="raised"),
            action("new", "New order", calling(lambda: ask_new(self._stack)), role="raised"),
            action("hours", "Hours", calling(lambda: self._stack.open(HoursPage(self._stack))), role="raised"),
            action("costs", "Costs", calling(lambda: self._stack.open(CostsPage(self._stack))), role="raised"),
        ]

    def _promise(self) -> None:
        self._stack.open(PromisePage(self._stack))

    def _ask(self) -> None:
        """Have the promises looked at, once for each state of the record: what is asked next finds its process warm."""
        from shopclock.analysis.forecast.forecast import QUICK_DRAWS
        from shopclock.analysis.plan.promise import orders_held

        record = self._stack.record
        task = partial(orders_held, str(record.path), record.instant())
        self._held.ask(record.next_undo, partial(task, draws=QUICK_DRAWS), task)

    def _order(self, order: CustomerOrder) -> Action:
        floor, day = self._stack.floor, promised_day(order)
        lacks, few = missing(floor, order), len(open_orders(floor)) <= FEW
        what = f"{order.wanted} {floor.get(Pattern, order.pattern_id).name}"
        when = day_text(day) if day is not None else "no day"
        return action(
            f"order {order.id}",
            order.who,
            calling(lambda: self._stack.open(OrderPage(self._stack, order.id))),
            detail=what if few else f"{what}, {when}",
            figure=when if few else "",
            note=f"lacks {lacks}" if lacks else self._holds(order),
            note_role="red" if self._broken(order) else "straw",
        )

    def _broken(self, order: CustomerOrder) -> bool:
        """Whether an order was promised for a day that, as things are, holds less than 8 times in 10."""
        held = (self._held.answer or {}).get(order.id)
        return held is not None and held < HOLDS

    def _holds(self, order: CustomerOrder) -> str:
        """Say how surely a promise holds; what doesn't hold says so first."""
        held = (self._held.answer or {}).get(order.id)
        if held is None:
            return ""
        return f"{'holds' if held >= HOLDS else 'too late: holds'} {times_text(held)}"
