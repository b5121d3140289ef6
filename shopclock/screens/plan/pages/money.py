"""Costs of a piece in its parts, the wished rate, asked prices, and the list of what is paid."""

from __future__ import annotations

from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING

from shopclock.analysis.money.cost import NO_ADVICE
from shopclock.analysis.money.pattern_costs import LAST
from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.plan import texts
from shopclock.screens.plan.pages.earned import EarnedPage
from shopclock.screens.plan.pages.tool_pays import ToolPaysPage
from shopclock.shop.setup import costs, rates, sent_out
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import CostItem, CostKind, Pattern, Per, Stage
from shopclock.views.dialogs import Choice
from shopclock.views.field import Name, Number, Pick, Text, choose, field
from shopclock.views.page import Body, ChartView, Page, PageContent, item

if TYPE_CHECKING:
    from shopclock.analysis.money.pattern_costs import CostsTold, PatternCost
    from shopclock.screens.plan.planning import Planning
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

SPENT = (
    ("Material for each", CostKind.MATERIAL, Per.PIECE),
    ("Consumables of a batch", CostKind.CONSUMABLE, Per.BATCH),
    ("Bought-out work for each", CostKind.BOUGHT_OUT, Per.PIECE),
    ("Bought-out work of a batch", CostKind.BOUGHT_OUT, Per.BATCH),
    ("By the month", CostKind.OVERHEAD, Per.MONTH),
    ("By the year", CostKind.OVERHEAD, Per.YEAR),
)
RATES = (
    ("hour", "Wished for an hour", False),
    ("fee_share", "Fees, share of the price", True),
    ("fixed_fee", "Fee of each sale", False),
    ("sales_tax", "Sales tax", True),
    ("second_share", "A second brings, of the price", True),
)


class CostsPage(Page):
    """Costs of a piece of each pattern, by its last batches; then rates, asked prices and the list of costs."""

    def __init__(self, stack: Planning) -> None:
        self._stack = stack
        self._told: AsyncAnswer[CostsTold] = AsyncAnswer(stack.work, stack.changed)

    def content(self) -> PageContent:
        """Patterns that cost more than is asked, their tiles first, and everything that this rests on."""
        from shopclock.analysis.money.pattern_costs import costs_told

        stack, record = self._stack, self._stack.record
        self._told.ask(record.next_undo, partial(costs_told, str(record.path), record.instant()))
        told = self._told.answer

        def set_currency(typed: str) -> None:
            stack.do(f"Currency {typed}", lambda tx: rates.set_rate(tx, "currency", typed))

        known = {one.pattern_id: one for one in told.patterns} if told is not None else {}
        above = {number for number, one in known.items() if (texts.cost_share(one) or 0.0) > 1}
        waiting = told is None and not self._told.why
        found = [cost for cost in stack.floor.all(CostItem) if not cost.put_away]
        now = rates.rates(stack.floor).currency
        return PageContent(
            self._title(),
            [self._by_what(), NO_ADVICE],
            [
                *(
                    _pattern(stack, pattern, known.get(pattern.id), waiting=waiting)
                    for pattern in sorted(stack.patterns, key=lambda one: one.id not in above)
                ),
                *(_rate(stack, *rate) for rate in RATES),
                *(_cost(stack, cost) for cost in found),
            ],
            [
                item("add", "Add a cost", lambda: _add(stack), role="primary"),
                item("earned", "Earned", partial(EarnedPage, stack), role="raised"),
                item("tool", "Tool pays", partial(ToolPaysPage, stack), role="raised"),
                field("currency", "Currency", "", Text("Currency, three letters", now), set_currency, role="raised"),
            ],
        )

    def _title(self) -> str:
        told, floor = self._told.answer, self._stack.floor
        if told is None:
            return self._told.why or "Working it out …"
        if not told.patterns:
            return f"What a {word(floor, 'finished').one} costs can be told when a {word(floor, 'batch').one} is closed"
        there = {pattern.id for pattern in self._stack.patterns}
        return texts.costs_said([one for one in told.patterns if one.pattern_id in there])

    def _by_what(self) -> str:
        floor = self._stack.floor
        each, batches = word(floor, "finished").one, word(floor, "batch").many
        return f"What each {each} costs, without tax, by the last {LAST} {batches}, work at the wished rate."


def _pattern(stack: Planning, pattern: Pattern, known: PatternCost | None, *, waiting: bool) -> Action:
    """A pattern: what it costs and what is asked. It opens its batches; without any it asks for the price at once.

    While what it costs is still worked out, nobody knows which of both, and it takes no press.
    """
    if waiting:
        return item(f"costs {pattern.id}", pattern.name, lambda: None, why_not="What it costs is being worked out.")
    if known is None:
        return _price(stack, pattern, pattern.name)
    return item(
        f"costs {pattern.id}",
        pattern.name,
        partial(PatternCostPage, stack, known),
        texts.beside(stack, known),
        fraction=texts.cost_share(known),
        figure_role="red" if (texts.cost_share(known) or 0.0) > 1 else "text",
    )


def _rate(stack: Planning, name: str, title: str, share: bool) -> Action:
    def take(typed: str) -> None:
        stack.do(f"{title}: {typed}", lambda tx: rates.set_rate(tx, name, typed))

    own = rates.rates(stack.floor)
    value: Decimal = getattr(own, name)
    shown = f"{value:f} %" if share else stack.money(value, own.currency)
    return field(f"rate {name}", title, shown, Number(title, f"{value:f}"), take, role="raised")


def _price(stack: Planning, pattern: Pattern, title: str) -> Action:
    def take(typed: str) -> None:
        stack.do(f"{pattern.name} at {typed}", lambda tx: costs.ask(tx, pattern, typed))

    price = costs.asked(stack.floor, pattern)
    shown, now = "nothing yet", ""
    if price is not None:
        shown, now = stack.money(price, rates.rates(stack.floor).currency), f"{price:f}"
    asks = Number(f"What is asked for one {pattern.name}", now)
    return field(f"asked {pattern.id}", title, f"asked {shown}", asks, take)


class PatternCostPage(Page):
    """One pattern: the bar of its cost beside the bar of its price, then each of its closed batches."""

    def __init__(self, stack: Planning, found: PatternCost) -> None:
        self._stack = stack
        self._found = found
        self._told: AsyncAnswer[CostsTold] = AsyncAnswer(stack.work, stack.changed)

    def content(self) -> PageContent | None:
        """The sentence, the bars, and the price to be changed."""
        from shopclock.analysis.money.pattern_costs import costs_told

        stack, record = self._stack, self._stack.record
        pattern = stack.floor.find(Pattern, self._found.pattern_id)
        if pattern is None:
            return None
        self._told.ask(record.next_undo, partial(costs_told, str(record.path), record.instant()))
        known = self._told.answer.patterns if self._told.answer is not None else ()
        self._found = next((one for one in known if one.pattern_id == pattern.id), self._found)
        return PageContent(
            texts.cost_said(stack, self._found),
            [f"{texts.parts_said(stack, self._found)} {NO_ADVICE}".strip()],
            (),
            [_price(stack, pattern, "Price")],
            body=Body.CHART,
            chart=ChartView(texts.cost_bars(stack, self._found)),
        )


def _cost(stack: Planning, cost: CostItem) -> Action:
    """One cost; bought-out work says which stage it stands for, and how long the pieces are away."""
    pattern, stage = stack.floor.find(Pattern, cost.pattern_id or 0), stack.floor.find(Stage, cost.stage_id or 0)
    whose = f", {pattern.name}" if pattern is not None else ""
    away = f"{cost.days} {'day' if cost.days == 1 else 'days'} away" if cost.days is not None else ""
    return item(
        f"cost {cost.id}",
        cost.name,
        lambda: _change(stack, cost, stage),
        detail=f"{stack.money(Decimal(cost.amount), cost.currency)} per {cost.per}{whose}",
        note=", ".join(part for part in (f"for {stage.name}" if stage else "", away) if part),
    )


def _change(stack: Planning, cost: CostItem, stage: Stage | None) -> Asking[object]:
    bought = (
        Choice("stage", "Stands for a stage", stage.name if stage else "none yet"),
        Choice("days", "Days away", str(cost.days or "not known")),
    )
    choices = (
        Choice("amount", "Another amount"),
        Choice("tax", "Tax paid on top", f"{cost.tax} % now"),
        *(bought if cost.kind is CostKind.BOUGHT_OUT else ()),
        Choice("away", "Put away"),
    )
    key = yield from Pick(cost.name, choices)
    if key == "away":
        return stack.do(f"{cost.name} put away", lambda tx: costs.put_cost_away(tx, cost, away=True))
    if key == "stage":
        yield from _stand_for(stack, cost)
        return None
    change, now = {
        "amount": (costs.set_amount, cost.amount),
        "tax": (costs.set_tax, cost.tax),
        "days": (sent_out.set_days, str(cost.days or 7)),
    }[key]
    typed = yield from Number(cost.name, now)
    return stack.do(f"{cost.name}: {typed}", lambda tx: change(tx, cost, typed))


def _stand_for(stack: Planning, cost: CostItem) -> Asking[None]:
    """Ask which stage bought-out work takes the place of: it is paid where that is sent out."""
    stages = [stage for stage in stack.floor.all(Stage) if not (stage.put_away or stage.shop_work)]
    answers = [(Choice(str(s.id), s.name, checked=s.id == cost.stage_id), s) for s in stages]
    stage = yield from choose(f"{cost.name} stands for", [*answers, (Choice("0", "None"), None)])
    what = f"{cost.name} for {stage.name}" if stage is not None else f"{cost.name} for no stage"
    stack.do(what, lambda tx: sent_out.stands_for(tx, cost, stage))


def _add(stack: Planning) -> Asking[None]:
    """Ask what is bought, for which pattern (overhead is of all), and for how much."""
    what, kind, per = yield from choose("What is it", [(Choice(str(i), one[0]), one) for i, one in enumerate(SPENT)])
    pattern = None
    if kind is not CostKind.OVERHEAD and stack.patterns:
        answers = [(Choice(str(p.id), p.name), p) for p in stack.patterns]
        pattern = yield from choose("For which pattern", [(Choice("0", "All patterns"), None), *answers])
    name = yield from Name("What is bought")
    typed = yield from Number(f"{name}: {what.lower()}")
    stack.do(f"Added {name}", lambda tx: costs.add_cost(tx, name, kind, per, typed, pattern=pattern))
