"""Changes to the plan: a tile for each, with what it does; a press sets what is tried."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.plan.asking import ask_hours, ask_number, ask_pattern
from shopclock.shop.planning.plan_order import in_order
from shopclock.shop.setup.sent_out import days_of, price_out
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Pattern, Per, Stage, Tool
from shopclock.shop.values.errors import Refusal
from shopclock.views.dialogs import COUNT, Choice
from shopclock.views.field import Number, choose, field
from shopclock.views.page import Page, PageContent, item

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.analysis.plan.what_if import Chosen, Tried, WhatIf
    from shopclock.screens.plan.planning import Planning
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

MOST = 60
MOST_HELD = 1000


class WhatIfPage(Page):
    """One more evening, larger tools, work sent out; and a new batch of one size or another."""

    def __init__(self, stack: Planning) -> None:
        from shopclock.analysis.plan.what_if import Chosen

        self._stack = stack
        self._told: AsyncAnswer[WhatIf] = AsyncAnswer(stack.work, stack.changed)
        batches, patterns = in_order(stack.floor), stack.patterns
        self._chosen = Chosen(batches[-1].pattern_id if batches else patterns[0].id if patterns else 0)

    def content(self) -> PageContent | None:
        """By when it is done as things are; the changes, then the sizes of a new batch."""
        pattern = self._stack.floor.find(Pattern, self._chosen.pattern_id)
        if pattern is None:
            return None
        told = self._answer()
        which = ask_pattern(self._stack.patterns, pattern.id)
        new = f"New {word(self._stack.floor, 'batch').one}: {pattern.name}"
        return PageContent(
            told.whole if told is not None else self._told.why or "Working it out …",
            ["What each change alone would do to it. Press one to try it with other figures."],
            [self._tile(tried) for tried in told.tried] if told is not None else (),
            [
                field(
                    "pattern",
                    new,
                    "",
                    which,
                    lambda chosen: self._try(replace(self._chosen, pattern_id=chosen.id)),
                    role="raised",
                )
            ],
        )

    def _answer(self) -> WhatIf | None:
        """Have it worked out, once for each choice and each state of the record."""
        from shopclock.analysis.plan.what_if import what_if

        record = self._stack.record
        task = partial(what_if, str(record.path), record.instant(), self._chosen, self._stack.manner)
        self._told.ask((self._chosen, record.next_undo), task)
        return self._told.answer

    def _tile(self, tried: Tried) -> Action:
        asks: dict[str, Callable[[int], Asking[None]]] = {
            "evening": self._evening, "tool": self._tool, "sent": self._sent, "size": self._size,
        }  # fmt: skip
        kind, _, number = tried.key.partition(" ")
        return item(tried.key, tried.title, lambda: asks[kind](int(number or 0)), tried.detail, note=tried.told)

    def _try(self, chosen: Chosen) -> None:
        self._chosen = chosen
        self._stack.changed()

    def _evening(self, _number: int) -> Asking[None]:
        weekday, start, end = yield from ask_hours()
        if start >= end:
            raise Refusal("Hours begin before they end, within one day. Nothing was changed.")
        self._try(replace(self._chosen, evening=(weekday, start, end)))

    def _tool(self, tool_id: int) -> Asking[None]:
        from shopclock.analysis.plan.what_if import held

        tool = self._stack.floor.get(Tool, tool_id)
        room = yield from ask_number(f"{tool.name}: room for how many", f"{2 * (tool.capacity or 1):g}", MOST_HELD)
        self._try(held(self._chosen, tool_id, room))

    def _sent(self, stage_id: int) -> Asking[None]:
        """Ask what it costs to send a stage out.

        It is kept among the costs, where it is not paid as long as the route has the stage done here.
        """
        floor, stage = self._stack.floor, self._stack.floor.get(Stage, stage_id)
        piece, batch = (word(floor, name).one for name in ("piece", "batch"))
        ways = ((Choice("piece", f"For each {piece}"), Per.PIECE), (Choice("batch", f"For a whole {batch}"), Per.BATCH))
        per = yield from choose(f"{stage.name} sent out: how is it paid", ways)
        typed = yield from Number(f"Paid for each {piece}" if per is Per.PIECE else f"Paid for a whole {batch}")
        back = str(days_of(floor, stage.id) or 7)
        days = yield from Number("Back in how many days", back, signs=COUNT)
        self._stack.do(f"{stage.name} sent out", lambda tx: price_out(tx, stage, per, typed, days))

    def _size(self, which: int) -> Asking[None]:
        first, second = self._chosen.sizes
        n = yield from ask_number("How many to start", second if which else first, MOST)
        self._try(replace(self._chosen, sizes=(first, n) if which else (n, second)))
