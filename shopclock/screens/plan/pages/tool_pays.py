"""When has a tool paid for itself: its price against the minutes that it saves on each piece."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING

from shopclock.shop.setup.rates import rates
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Method, Stage
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.money import amount, money_text
from shopclock.views.dialogs import Choice
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.plan.planning import Planning
    from shopclock.views.page import Action

MOST_MIN = 1000
NO_MOTOR = "Minutes alone: what it wears out, and what it spares hand and ear, is not in it."


class ToolPaysPage(Page):
    """Two numbers; the minutes can be taken from a stage that was worked in two ways."""

    def __init__(self, stack: Planning) -> None:
        self._stack = stack
        self._price: Decimal | None = None
        self._saved: Decimal | None = None
        self._by = ""

    def title(self) -> str:
        """After how many pieces it is earned back."""
        from shopclock.analysis.money.cost import finished_a_year, tool_said

        if self._price is None or self._saved is None:
            return "When has a tool paid for itself"
        record = self._stack.record
        a_year = finished_a_year(record.reads.batches(), record.instant())
        return tool_said(self._stack.floor, self._price, self._saved, a_year, self._stack.manner)

    def lines(self) -> Sequence[TextLine]:
        """What the minutes rest on, and what is not in the figure."""
        return tuple(TextLine(said) for said in (self._by, NO_MOTOR) if said)

    def offers(self) -> Sequence[Action]:
        """The two numbers."""
        price = self._money(self._price) if self._price is not None else "–"
        saved = f"{self._saved.normalize():f} min" if self._saved is not None else "–"
        piece = word(self._stack.floor, "piece").one
        return [
            action("price", price, calling(self._ask_price), detail="what it costs, without tax"),
            action("saved", saved, calling(self._ask_saved), detail=f"saved on each {piece}"),
        ]

    def actions(self) -> Sequence[Action]:
        """The minutes from the record."""
        enabled = bool(self._pairs())
        return [action("record", "From two methods", calling(self._ask_stage), role="raised", enabled=enabled)]

    def _money(self, money: Decimal) -> str:
        return money_text(money, rates(self._stack.floor).currency, self._stack.manner)

    def _ask_price(self) -> None:
        self._stack.dialogs.number("What does the tool cost", "", on_answer(self._set_price))

    def _set_price(self, typed: str) -> None:
        self._price = amount(typed)
        self._stack.changed()

    def _ask_saved(self) -> None:
        self._stack.dialogs.number("Minutes saved on each", "", on_answer(self._set_saved))

    def _set_saved(self, typed: str) -> None:
        self._saved, self._by = typed_minutes(typed), ""
        self._stack.changed()

    def _pairs(self) -> dict[int, tuple[Method, Method, Decimal]]:
        """The stages worked in two ways often enough: the slower, the quicker, and what lies between, in minutes."""
        floor, found = self._stack.floor, {}
        for stage in floor.all(Stage):
            usual = sorted(self._usual(stage), key=lambda one: one[0])
            if len(usual) > 1 and usual[-1][0] > usual[0][0]:
                found[stage.id] = (usual[-1][1], usual[0][1], Decimal(f"{usual[-1][0] - usual[0][0]:.1f}"))
        return found

    def _usual(self, stage: Stage) -> list[tuple[float, Method]]:
        record = self._stack.record
        told = []
        for method in self._stack.floor.all(Method):
            if method.stage_id == stage.id:
                usual = record.reads.usual(stage.id, method.id, None, record.instant())
                if usual is not None and usual.median_min is not None:
                    told.append((usual.median_min, method))
        return told

    def _ask_stage(self) -> None:
        choices = [
            Choice(str(stage), self._stack.floor.get(Stage, stage).name, f"{slow.name} or {quick.name}: {saved} min")
            for stage, (slow, quick, saved) in self._pairs().items()
        ]
        self._stack.dialogs.ask("Minutes saved at which stage", choices, on_answer(self._take))

    def _take(self, key: str) -> None:
        slow, quick, self._saved = self._pairs()[int(key)]
        name = self._stack.floor.get(Stage, int(key)).name
        self._by = f"{name}: what is usual by {slow.name}, less what is usual by {quick.name}, all patterns together."
        self._stack.changed()


def typed_minutes(typed: str) -> Decimal:
    """Return typed minutes above 0; refused where it is none."""
    try:
        found = Decimal(typed.strip().replace(",", "."))
    except InvalidOperation:
        found = Decimal(0)
    if not (found.is_finite() and 0 < found <= MOST_MIN):
        raise Refusal(f"{typed.strip() or 'Nothing'} is no number of minutes up to {MOST_MIN}. Nothing was changed.")
    return found
