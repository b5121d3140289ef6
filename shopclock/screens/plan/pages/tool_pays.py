"""A tool's price against the minutes that it saves on each piece."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING

from shopclock.shop.setup.rates import rates
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Method, Stage
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.money import amount
from shopclock.views.dialogs import Choice
from shopclock.views.field import Number, choose, field
from shopclock.views.page import Page, PageContent, item

if TYPE_CHECKING:
    from shopclock.screens.plan.planning import Planning
    from shopclock.views.field import Asking

MOST_MIN = 1000
NO_MOTOR = "Minutes alone: what it wears out, and what it spares hand and ear, is not in it."


class ToolPaysPage(Page):
    """Two numbers; the minutes can be taken from a stage that was worked in two ways."""

    def __init__(self, stack: Planning) -> None:
        self._stack = stack
        self._price: Decimal | None = None
        self._saved: Decimal | None = None
        self._by = ""

    def content(self) -> PageContent:
        """After how many pieces it is earned back, what the minutes rest on, and what is not in the figure."""
        piece, pairs = word(self._stack.floor, "piece").one, self._pairs()
        own = rates(self._stack.floor).currency
        price = self._stack.money(self._price, own) if self._price is not None else "–"
        saved = f"{self._saved.normalize():f} min" if self._saved is not None else "–"
        asks_price, asks_saved = Number("What does the tool cost"), Number("Minutes saved on each")
        none = "" if pairs else "No stage was done by two methods yet."
        return PageContent(
            self._title(),
            [said for said in (self._by, NO_MOTOR) if said],
            [
                field("price", price, "what it costs, without tax", asks_price, self._set_price),
                field("saved", saved, f"saved on each {piece}", asks_saved, self._set_saved),
            ],
            [item("record", "From two methods", lambda: self._take(pairs), role="raised", why_not=none)],
        )

    def _title(self) -> str:
        from shopclock.analysis.money.cost import finished_a_year, tool_said

        if self._price is None or self._saved is None:
            return "When has a tool paid for itself"
        record = self._stack.record
        a_year = finished_a_year(record.reads.batches(), record.instant())
        return tool_said(self._stack.floor, self._price, self._saved, a_year, self._stack.manner)

    def _set_price(self, typed: str) -> None:
        self._price = amount(typed)
        self._stack.changed()

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

    def _take(self, pairs: dict[int, tuple[Method, Method, Decimal]]) -> Asking[None]:
        """Ask for a stage, and take the minutes from the record."""
        names = {stage: self._stack.floor.get(Stage, stage).name for stage in pairs}
        answers = [
            (Choice(str(stage), names[stage], f"{slow.name} or {quick.name}: {saved} min"), stage)
            for stage, (slow, quick, saved) in pairs.items()
        ]
        stage = yield from choose("Minutes saved at which stage", answers)
        slow, quick, self._saved = pairs[stage]
        usual = f"what is usual by {slow.name}, less what is usual by {quick.name}, all patterns together"
        self._by = f"{names[stage]}: {usual}."
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
