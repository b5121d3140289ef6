"""What both questions to the plan begin with: of which pattern, how many finished."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.shop.planning.orders import MOST_WANTED
from shopclock.shop.values.entities import Pattern
from shopclock.shop.values.errors import Refusal
from shopclock.views.dialogs import COUNT, Choice
from shopclock.views.page import Page, on_answer

if TYPE_CHECKING:
    from typing import Any

    from shopclock.screens.plan.planning import Planning

NO_PATTERN = "No pattern yet. Copy a route in the Shop first"


class WantedPage(Page):
    """A question with a pattern and a number in it; `told` is asked for its answer, `past` how such ones held."""

    def __init__(self, stack: Planning, wanted: int, told: AsyncAnswer[Any]) -> None:
        self._stack = stack
        self._answers = told
        self._past: AsyncAnswer[str] = AsyncAnswer(stack.work, stack.changed)
        self._pattern_id = next((pattern.id for pattern in self._patterns()), None)
        self._wanted = wanted

    def _patterns(self) -> list[Pattern]:
        return [pattern for pattern in self._stack.floor.all(Pattern) if not pattern.put_away]

    def gone(self) -> bool:
        """Whether an Undo took its pattern away."""
        return self._pattern_id is not None and self._stack.floor.find(Pattern, self._pattern_id) is None

    def _ask_pattern(self) -> None:
        choices = [Choice(str(p.id), p.name, checked=p.id == self._pattern_id) for p in self._patterns()]
        self._stack.dialogs.ask("Which pattern", choices, on_answer(self._set_pattern))

    def _set_pattern(self, key: str) -> None:
        self._pattern_id = int(key)
        self._another()

    def _ask_wanted(self) -> None:
        self._stack.dialogs.number("How many finished", str(self._wanted), on_answer(self._set_wanted), signs=COUNT)

    def _set_wanted(self, typed: str) -> None:
        if not (typed.isdecimal() and 1 <= int(typed) <= MOST_WANTED):
            raise Refusal(f"{typed} is no number from 1 to {MOST_WANTED}. Nothing was changed.")
        self._wanted = int(typed)
        self._another()

    def _another(self) -> None:
        """The question is another one: what was answered before is no longer shown."""
        self._answers.drop()
        self._stack.changed()
