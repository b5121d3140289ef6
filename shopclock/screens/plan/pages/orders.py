"""The first page of Plan: the open orders, how surely each holds, and the two questions."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.analysis.plan.promise import times_text
from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.paged.described import DescribedPage
from shopclock.screens.plan.pages.hours import hours_page
from shopclock.screens.plan.pages.money import CostsPage
from shopclock.screens.plan.pages.next_batch import NextBatchPage
from shopclock.screens.plan.pages.order import ENDED, OrderPage
from shopclock.screens.plan.pages.promise import PromisePage
from shopclock.screens.plan.pages.the_plan import PlanPage
from shopclock.screens.plan.planning import FEW
from shopclock.shop.planning.orders import (
    ended_orders,
    missing,
    open_orders,
    over_promised,
    promised_day,
    reopen,
    short,
    to_promise,
    unpromised,
)
from shopclock.shop.state.wording import counted, day_text, word
from shopclock.shop.values.entities import OrderState, Pattern
from shopclock.views.dialogs import Choice
from shopclock.views.field import Pick, field
from shopclock.views.page import Page, PageContent, TextLine, item, nothing_yet

if TYPE_CHECKING:
    from shopclock.screens.plan.planning import Planning
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import CustomerOrder
    from shopclock.views.page import Action

HOLDS = 0.8


class OrdersPage(Page):
    """Every open order by promise."""

    def __init__(self, stack: Planning) -> None:
        self._stack = stack
        self._held: AsyncAnswer[dict[int, float]] = AsyncAnswer(stack.work, stack.changed)

    def content(self) -> PageContent:
        """The orders, those whose promise no longer holds first; a question, and what the answers rest on."""
        self._ask()
        stack, floor = self._stack, self._stack.floor
        listed, free = open_orders(floor), unpromised(floor)
        said = f"{len(listed)} open {'order' if len(listed) == 1 else 'orders'}" if listed else "No open orders"
        left = to_promise(floor)
        pieces = counted(floor, "piece", left)
        lines = [TextLine(self._held.why, "red")] if self._held.why and any(o.promised for o in listed) else []
        over = [f"{n} {floor.get(Pattern, pattern).name}" for pattern, n in over_promised(floor).items()]
        if over:
            what = word(floor, "piece").many
            lines.append(TextLine(f"Over-promised: {', '.join(over)} more than there are {what}.", "red"))
        if free:
            told = "; ".join(f"{f.batch.name}: {' '.join(p.mark for p in f.pieces)}" for f in free)
            needed = sum(len(f.pieces) for f in free) - left
            lines.append(TextLine(f"For nobody yet: {told}{f'; {needed} of them are needed' if needed else ''}"))
        tiles = [
            self._order(order, few=len(listed) <= FEW) for order in sorted(listed, key=lambda o: not self._broken(o))
        ]
        if ended := len(ended_orders(floor)):
            past, earlier = f"{ended} handed over or fallen through", partial(DescribedPage, stack, earlier_page)
            tiles.append(item("earlier", "Earlier orders", earlier, detail=past, role="raised"))
        promise = item("promise", "Promise or order", partial(PromisePage, stack), role="primary")
        ways = [
            item("next", "Next batch", partial(NextBatchPage, stack), role="raised"),
            item("plan", "The plan", partial(PlanPage, stack), role="raised"),
            item("hours", "Hours", partial(DescribedPage, stack, hours_page), role="raised"),
            item("costs", "Costs", partial(CostsPage, stack), role="raised"),
        ]
        if not tiles and not free:
            return nothing_yet(
                "No orders yet", "Each stands here with its day, and how surely that holds.", promise, ways
            )
        return PageContent(f"{said}, {pieces} unpromised", lines, tiles, [promise, *ways])

    def _ask(self) -> None:
        """Have the promises looked at, once for each state of the record: what is asked next finds its process warm."""
        from shopclock.analysis.forecast.forecast import QUICK_DRAWS
        from shopclock.analysis.plan.promise import orders_held

        record = self._stack.record
        task = partial(orders_held, str(record.path), record.instant())
        self._held.ask(record.next_undo, partial(task, draws=QUICK_DRAWS), task)

    def _order(self, order: CustomerOrder, *, few: bool) -> Action:
        floor, day = self._stack.floor, promised_day(order)
        n, less = missing(floor, order), short(floor, order)
        lacks = f"short by {less}" if less else f"{n} without a letter" if n else ""
        when = day_text(day) if day is not None else "no day"
        return item(
            f"order {order.id}",
            order.who,
            lambda: OrderPage(self._stack, order),
            detail=wanted(floor, order) if few else f"{wanted(floor, order)}, {when}",
            figure=when if few else "",
            note=", ".join(part for part in (lacks, self._holds(order)) if part),
            note_role="red" if self._broken(order) else "straw",
        )

    def _broken(self, order: CustomerOrder) -> bool:
        """True if an order is promised more than there is, or for a day that holds less than 8 times in 10."""
        held = (self._held.answer or {}).get(order.id)
        return short(self._stack.floor, order) > 0 or (held is not None and held < HOLDS)

    def _holds(self, order: CustomerOrder) -> str:
        """Say how surely a promise holds; what doesn't hold says so first."""
        held = (self._held.answer or {}).get(order.id)
        if held is None:
            return ""
        return f"{'holds' if held >= HOLDS else 'too late: holds'} {times_text(held)}"


def wanted(floor: ShopFloor, order: CustomerOrder) -> str:
    """Pieces and pattern that are wanted."""
    return f"{order.wanted} {floor.get(Pattern, order.pattern_id).name}"


def earlier_page(stack: Planning) -> PageContent | None:
    """The orders that are no longer open, the newest first; a press opens one again."""
    ended = ended_orders(stack.floor)
    done = sum(order.state is OrderState.DONE for order in ended)

    def one(order: CustomerOrder) -> Action:
        def reopened(_key: str) -> None:
            stack.do(f"{order.who} open again", lambda tx: reopen(tx, order))

        detail = f"{wanted(stack.floor, order)}, {ENDED[order.state]}"
        asks = Pick(f"The order of {order.who}", (Choice("open", "Open it again"),))
        return field(f"order {order.id}", order.who, detail, asks, reopened)

    title = f"{done} handed over, {len(ended) - done} fallen through"
    return PageContent(title, tiles=[one(order) for order in ended]) if ended else None
