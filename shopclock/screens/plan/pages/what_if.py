"""What would change the plan: a tile for each change, with what it does; a press sets what is tried."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.plan.pages.hours import minute
from shopclock.shop.planning.plan_order import in_order
from shopclock.shop.setup.sent_out import days_of, price_out
from shopclock.shop.setup.week import WEEKDAYS
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Pattern, Per, Stage, Tool
from shopclock.shop.values.errors import Refusal
from shopclock.views.dialogs import CLOCK, COUNT, Choice
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.analysis.plan.what_if import Tried, WhatIf
    from shopclock.screens.plan.planning import Planning
    from shopclock.views.page import Action

MOST = 60
MOST_HELD = 1000


class WhatIfPage(Page):
    """One more evening, larger tools, work sent out; and a new batch of one size or another."""

    def __init__(self, stack: Planning) -> None:
        from shopclock.analysis.plan.what_if import Chosen

        self._stack = stack
        self._told: AsyncAnswer[WhatIf] = AsyncAnswer(stack.work, stack.changed)
        batches, patterns = in_order(stack.floor), self._patterns()
        self._chosen = Chosen(batches[-1].pattern_id if batches else patterns[0].id if patterns else 0)

    def _patterns(self) -> list[Pattern]:
        return [pattern for pattern in self._stack.floor.all(Pattern) if not pattern.put_away]

    def gone(self) -> bool:
        """Whether an Undo took its pattern away."""
        return self._stack.floor.find(Pattern, self._chosen.pattern_id) is None

    def title(self) -> str:
        """By when it is done as things are."""
        told = self._answer()
        return told.whole if told is not None else self._told.why or "Working it out …"

    def _answer(self) -> WhatIf | None:
        """Have it worked out, once for each choice and each state of the record."""
        from shopclock.analysis.plan.what_if import what_if

        record = self._stack.record
        task = partial(what_if, str(record.path), record.instant(), self._chosen, self._stack.manner)
        self._told.ask((self._chosen, record.next_undo), task)
        return self._told.answer

    def lines(self) -> Sequence[TextLine]:
        """How to read it."""
        return (TextLine("What each change alone would do to it. Press one to try it with other figures."),)

    def offers(self) -> Sequence[Action]:
        """The changes, then the sizes."""
        told = self._answer()
        return [self._tile(tried) for tried in told.tried] if told is not None else []

    def _tile(self, tried: Tried) -> Action:
        asks: dict[str, Callable[[int], None]] = {
            "evening": self._ask_evening, "tool": self._ask_tool, "sent": self._ask_sent, "size": self._ask_size,
        }  # fmt: skip
        kind, _, number = tried.key.partition(" ")
        act = calling(partial(asks[kind], int(number or 0)))
        return action(tried.key, tried.title, act, detail=tried.detail, note=tried.told)

    def actions(self) -> Sequence[Action]:
        """Another pattern for the new batch."""
        new = word(self._stack.floor, "batch").one
        name = self._stack.floor.get(Pattern, self._chosen.pattern_id).name
        return [action("pattern", f"New {new}: {name}", calling(self._ask_pattern), role="raised")]

    def _try(self, **change: object) -> None:
        self._chosen = replace(self._chosen, **change)  # type: ignore[arg-type]  # its own fields, by name
        self._stack.changed()

    def _ask_pattern(self) -> None:
        choices = [Choice(str(p.id), p.name, checked=p.id == self._chosen.pattern_id) for p in self._patterns()]
        self._stack.dialogs.ask("Which pattern", choices, on_answer(lambda key: self._try(pattern_id=int(key))))

    def _ask_evening(self, _number: int) -> None:
        choices = [Choice(str(i), day) for i, day in enumerate(WEEKDAYS)]
        self._stack.dialogs.ask("On which day", choices, on_answer(lambda key: self._ask_from(int(key))))

    def _ask_from(self, weekday: int) -> None:
        go_on = on_answer(partial(self._ask_to, weekday))
        self._stack.dialogs.number(f"{WEEKDAYS[weekday]} from", "19:00", go_on, signs=CLOCK)

    def _ask_to(self, weekday: int, start: str) -> None:
        go_on = on_answer(lambda typed: self._set_evening(weekday, minute(start), minute(typed)))
        self._stack.dialogs.number(f"{WEEKDAYS[weekday]} until", "21:00", go_on, signs=CLOCK)

    def _set_evening(self, weekday: int, start: int, end: int) -> None:
        if start >= end:
            raise Refusal("Hours begin before they end, within one day. Nothing was changed.")
        self._try(evening=(weekday, start, end))

    def _ask_tool(self, tool_id: int) -> None:
        tool = self._stack.floor.get(Tool, tool_id)
        go_on = on_answer(partial(self._set_tool, tool_id))
        self._stack.dialogs.number(
            f"{tool.name}: room for how many", f"{2 * (tool.capacity or 1):g}", go_on, signs=COUNT
        )

    def _set_tool(self, tool_id: int, typed: str) -> None:
        from shopclock.analysis.plan.what_if import held

        self._chosen = held(self._chosen, tool_id, _number(typed, MOST_HELD))
        self._stack.changed()

    def _ask_sent(self, stage_id: int) -> None:
        stage = self._stack.floor.get(Stage, stage_id)
        piece, batch = (word(self._stack.floor, name).one for name in ("piece", "batch"))
        choices = (Choice("piece", f"For each {piece}"), Choice("batch", f"For a whole {batch}"))
        go_on = on_answer(lambda key: self._ask_price(stage, Per(key)))
        self._stack.dialogs.ask(f"{stage.name} sent out: how is it paid", choices, go_on)

    def _ask_price(self, stage: Stage, per: Per) -> None:
        named = word(self._stack.floor, str(per)).one
        go_on = on_answer(lambda typed: self._ask_days(stage, per, typed))
        self._stack.dialogs.number(f"Paid for {'each' if per is Per.PIECE else 'a whole'} {named}", "", go_on)

    def _ask_days(self, stage: Stage, per: Per, typed: str) -> None:
        days = days_of(self._stack.floor, stage.id) or 7
        go_on = on_answer(lambda back: self._price(stage, per, typed, back))
        self._stack.dialogs.number("Back in how many days", str(days), go_on, signs=COUNT)

    def _price(self, stage: Stage, per: Per, typed: str, days: str) -> None:
        """Keep it among the costs, where it is not paid as long as the route has the stage done here."""
        self._stack.do(f"{stage.name} sent out", lambda tx: price_out(tx, stage, per, typed, days))

    def _ask_size(self, which: int) -> None:
        go_on = on_answer(partial(self._set_size, which))
        self._stack.dialogs.number("How many to start", str(self._chosen.sizes[which]), go_on, signs=COUNT)

    def _set_size(self, which: int, typed: str) -> None:
        first, second = self._chosen.sizes
        n = _number(typed, MOST)
        self._try(sizes=(n, second) if which == 0 else (first, n))


def _number(typed: str, most: int) -> int:
    if not (typed.isdecimal() and 1 <= int(typed) <= most):
        raise Refusal(f"{typed} is no number from 1 to {most}. Nothing was changed.")
    return int(typed)
