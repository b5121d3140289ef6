"""What things cost, what an hour should earn, and what is asked."""

from __future__ import annotations

from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING

from shopclock.analysis.money.cost import NO_ADVICE
from shopclock.screens.plan.pages.earned import EarnedPage
from shopclock.screens.plan.pages.tool_pays import ToolPaysPage
from shopclock.shop.setup import costs, rates, sent_out
from shopclock.shop.values.entities import CostItem, CostKind, Pattern, Per, Stage
from shopclock.shop.values.money import money_text
from shopclock.views.dialogs import Choice
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.plan.planning import Planning
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
)


class CostsPage(Page):
    """The list of costs, and what is asked for each pattern."""

    def __init__(self, stack: Planning) -> None:
        self._stack = stack

    def title(self) -> str:
        """What it is."""
        return "Costs and prices, without tax"

    def lines(self) -> Sequence[TextLine]:
        """What it isn't."""
        return (TextLine(NO_ADVICE),)

    def offers(self) -> Sequence[Action]:
        """Rates, prices, costs."""
        floor = self._stack.floor
        patterns = [pattern for pattern in floor.all(Pattern) if not pattern.put_away]
        items = [item for item in floor.all(CostItem) if not item.put_away]
        return [*map(self._rate, RATES), *map(self._price, patterns), *map(self._cost, items)]

    def actions(self) -> Sequence[Action]:
        """One more, and the currency."""
        return [
            action("add", "Add a cost", calling(self._ask_what), role="primary"),
            action("earned", "Earned", calling(lambda: self._stack.open(EarnedPage(self._stack))), role="raised"),
            action("tool", "Tool pays", calling(lambda: self._stack.open(ToolPaysPage(self._stack))), role="raised"),
            action("currency", "Currency", calling(self._ask_currency), role="raised"),
        ]

    def _money(self, amount: Decimal, currency: str) -> str:
        return money_text(amount, currency, self._stack.manner)

    def _rate(self, rate: tuple[str, str, bool]) -> Action:
        field, name, share = rate
        own = rates.rates(self._stack.floor)
        value: Decimal = getattr(own, field)
        shown = f"{value:f} %" if share else self._money(value, own.currency)
        act = calling(lambda: self._ask_rate(field, name, f"{value:f}"))
        return action(f"rate {field}", name, act, detail=shown, role="raised")

    def _ask_rate(self, field: str, name: str, now: str) -> None:
        self._stack.dialogs.number(name, now, on_answer(lambda typed: self._set_rate(field, name, typed)))

    def _set_rate(self, field: str, name: str, typed: str) -> None:
        self._stack.do(f"{name}: {typed}", lambda tx: rates.set_rate(tx, field, typed))

    def _price(self, pattern: Pattern) -> Action:
        floor = self._stack.floor
        price = costs.asked(floor, pattern)
        shown = self._money(price, rates.rates(floor).currency) if price is not None else "nothing yet"
        act = calling(lambda: self._ask_price(pattern, f"{price:f}" if price is not None else ""))
        return action(f"asked {pattern.id}", pattern.name, act, detail=f"asked {shown}")

    def _ask_price(self, pattern: Pattern, now: str) -> None:
        question = f"What is asked for one {pattern.name}"
        self._stack.dialogs.number(question, now, on_answer(lambda typed: self._set_price(pattern, typed)))

    def _set_price(self, pattern: Pattern, typed: str) -> None:
        self._stack.do(f"{pattern.name} at {typed}", lambda tx: costs.ask(tx, pattern, typed))

    def _cost(self, item: CostItem) -> Action:
        pattern = self._stack.floor.find(Pattern, item.pattern_id or 0)
        whose = f", {pattern.name}" if pattern is not None else ""
        shown = self._money(Decimal(item.amount), item.currency)
        act = calling(partial(self._ask_cost, item))
        return action(f"cost {item.id}", item.name, act, detail=f"{shown} per {item.per}{whose}", note=self._sent(item))

    def _sent(self, item: CostItem) -> str:
        """Say which stage bought-out work stands for, and how long the pieces are away."""
        stage = self._stack.floor.find(Stage, item.stage_id or 0)
        away = f"{item.days} {'day' if item.days == 1 else 'days'} away" if item.days is not None else ""
        return ", ".join(part for part in (f"where {stage.name} is sent out" if stage else "", away) if part)

    def _ask_cost(self, item: CostItem) -> None:
        stage = self._stack.floor.find(Stage, item.stage_id or 0)
        bought = (
            Choice("stage", "Stands for a stage", stage.name if stage else "none yet"),
            Choice("days", "Days away", str(item.days or "not known")),
        )
        choices = (
            Choice("amount", "Another amount"),
            Choice("tax", "Tax paid on top", f"{item.tax} % now"),
            *(bought if item.kind is CostKind.BOUGHT_OUT else ()),
            Choice("away", "Put away"),
        )
        self._stack.dialogs.ask(item.name, choices, on_answer(partial(self._change, item)))

    def _change(self, item: CostItem, key: str) -> None:
        if key == "away":
            self._stack.do(f"{item.name} put away", lambda tx: costs.put_cost_away(tx, item, away=True))
            return
        if key == "stage":
            self._ask_stage(item)
            return
        change, now = {
            "amount": (costs.set_amount, item.amount),
            "tax": (costs.set_tax, item.tax),
            "days": (sent_out.set_days, str(item.days or 7)),
        }[key]
        go_on = on_answer(lambda typed: self._stack.do(f"{item.name}: {typed}", lambda tx: change(tx, item, typed)))
        self._stack.dialogs.number(item.name, now, go_on)

    def _ask_stage(self, item: CostItem) -> None:
        """Ask which stage bought-out work takes the place of: it is paid where that is sent out."""
        stages = [stage for stage in self._stack.floor.all(Stage) if not (stage.put_away or stage.shop_work)]
        choices = [*(Choice(str(s.id), s.name, checked=s.id == item.stage_id) for s in stages), Choice("0", "None")]
        go_on = on_answer(lambda key: self._stands_for(item, self._stack.floor.find(Stage, int(key))))
        self._stack.dialogs.ask(f"{item.name} stands for", choices, go_on)

    def _stands_for(self, item: CostItem, stage: Stage | None) -> None:
        what = f"{item.name} for {stage.name}" if stage is not None else f"{item.name} for no stage"
        self._stack.do(what, lambda tx: sent_out.stands_for(tx, item, stage))

    def _ask_what(self) -> None:
        choices = [Choice(str(i), name) for i, (name, _, _) in enumerate(SPENT)]
        self._stack.dialogs.ask("What is it", choices, on_answer(lambda key: self._ask_whose(int(key))))

    def _ask_whose(self, what: int) -> None:
        """Ask which pattern it is for; overhead is of all."""
        patterns = [pattern for pattern in self._stack.floor.all(Pattern) if not pattern.put_away]
        if SPENT[what][1] is CostKind.OVERHEAD or not patterns:
            self._ask_name(what, None)
            return
        choices = [Choice("0", "All patterns"), *(Choice(str(p.id), p.name) for p in patterns)]
        go_on = on_answer(lambda key: self._ask_name(what, self._stack.floor.find(Pattern, int(key))))
        self._stack.dialogs.ask("For which pattern", choices, go_on)

    def _ask_name(self, what: int, pattern: Pattern | None) -> None:
        go_on = on_answer(lambda name: self._ask_amount(what, pattern, name))
        self._stack.dialogs.text("What is bought", "", go_on)

    def _ask_amount(self, what: int, pattern: Pattern | None, name: str) -> None:
        go_on = on_answer(lambda typed: self._add(what, pattern, name, typed))
        self._stack.dialogs.number(f"{name}: {SPENT[what][0].lower()}", "", go_on)

    def _add(self, what: int, pattern: Pattern | None, name: str, typed: str) -> None:
        _, kind, per = SPENT[what]
        self._stack.do(f"Added {name}", lambda tx: costs.add_cost(tx, name, kind, per, typed, pattern=pattern))

    def _ask_currency(self) -> None:
        now = rates.rates(self._stack.floor).currency
        self._stack.dialogs.text("Currency, three letters", now, on_answer(self._set_currency))

    def _set_currency(self, typed: str) -> None:
        self._stack.do(f"Currency {typed}", lambda tx: rates.set_rate(tx, "currency", typed))
