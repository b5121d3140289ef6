"""So many by a day, at what price? Two numbers, and the answer in one sentence."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.plan.asking import ask_day, ask_number, ask_pattern
from shopclock.screens.plan.pages.money import CostsPage
from shopclock.screens.plan.pages.order import take_order
from shopclock.screens.plan.rules import days_picture, prices_picture
from shopclock.shop.planning.orders import MOST_WANTED
from shopclock.shop.state.wording import counted, day_text
from shopclock.shop.values.entities import Batch, Pattern
from shopclock.views.field import field
from shopclock.views.page import Body, Page, PageContent, TextLine, item, nothing_yet

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date
    from typing import Any, Unpack

    from shopclock.analysis.plan.promise import Answer
    from shopclock.screens.plan.planning import Planning
    from shopclock.views.page import Action, Look


TWO_LINES = 170
"""Letters that two lines under a title hold in the smallest window."""


def gathered(notes: Sequence[str]) -> list[str]:
    """Put notes together as far as two lines hold them, so that they take little room and none is cut."""
    found: list[str] = []
    for note in notes:
        if found and len(found[-1]) + 1 + len(note) <= TWO_LINES:
            found[-1] += f" {note}"
        else:
            found.append(note)
    return found


class WantedPage(Page):
    """A question with a pattern and a number in it; `told` is asked for its answer, `past` how such ones held."""

    def __init__(self, stack: Planning, wanted: int, told: AsyncAnswer[Any]) -> None:
        self._stack = stack
        self._answers = told
        self._past: AsyncAnswer[str] = AsyncAnswer(stack.work, stack.changed)
        self._pattern_id = _likeliest(stack)
        self._wanted = wanted

    @property
    def _pattern(self) -> Pattern | None:
        return self._stack.floor.find(Pattern, self._pattern_id or 0)

    @property
    def _gone(self) -> bool:
        """True if an Undo took its pattern away."""
        return self._pattern_id is not None and self._pattern is None

    def _question(self, name: str, details: tuple[str, str] = ("", ""), **look: Unpack[Look]) -> list[Action]:
        """The fields of pattern and number; `name` stands where there is no pattern."""
        pattern, n = self._pattern, counted(self._stack.floor, "finished", self._wanted)
        which = ask_pattern(self._stack.patterns, self._pattern_id)
        many = ask_number("How many finished", self._wanted, MOST_WANTED)
        return [
            field("pattern", pattern.name if pattern else name, details[0], which, self._set_pattern, **look),
            field("wanted", n, details[1], many, self._set_wanted, **look),
        ]

    def _set_pattern(self, pattern: Pattern) -> None:
        self._pattern_id = pattern.id
        self._another()

    def _set_wanted(self, wanted: int) -> None:
        self._wanted = wanted
        self._another()

    def _another(self) -> None:
        """The question is another one: what was answered before is no longer shown."""
        self._answers.drop()
        self._stack.changed()


def no_pattern(stack: Planning, what: str) -> PageContent:
    """Return the page of a question that there is no pattern for: `what` it will tell, and the way to one."""
    copy = item("copy", "Copy a route", lambda: stack.go("copy"))
    return nothing_yet("There is no pattern yet", f"{what} It begins with a route.", copy)


def _likeliest(stack: Planning) -> int | None:
    """Return the pattern that is asked about first: that of the newest batch, an open one before all others."""
    there = {pattern.id for pattern in stack.patterns}
    made = [batch for batch in stack.floor.all(Batch) if batch.pattern_id in there]
    newest = max(made, key=lambda batch: (batch.closed_us is None, batch.started_us, batch.id), default=None)
    return newest.pattern_id if newest is not None else next((pattern.id for pattern in stack.patterns), None)


class PromisePage(WantedPage):
    """The question by presses, and its answer."""

    def __init__(self, stack: Planning) -> None:
        self._found: AsyncAnswer[Answer] = AsyncAnswer(stack.work, stack.changed)
        super().__init__(stack, 2, self._found)
        self._day: date | None = None

    def content(self) -> PageContent | None:
        """The parts of the question, and its answer: the date, the price that pays, and what both rest on."""
        if self._gone:
            return None
        stack, found = self._stack, self._found
        if self._pattern_id is None:
            return no_pattern(stack, "By when so many are done, and at what price, is told here.")
        title, answer = self._title(), found.answer
        by, when = ask_day("By which day", stack.today), day_text(self._day) if self._day is not None else "any day"
        pays = answer.pays if answer is not None else ""
        costs = item("costs", pays or "–", partial(CostsPage, stack), "each pays 8 times in 10", role="raised")
        lines, price = list[TextLine](), ""
        if answer is not None:
            lines = [*map(TextLine, (f"{answer.work} {self._past.answer or ''}".strip(), *gathered(answer.notes)))]
            price = " ".join(said for said in (answer.price, answer.asked) if said)
        take = item("take", "Take the order", self._take, role="primary")
        return PageContent(
            title,
            lines,
            [
                *self._question("–", ("which pattern", "how many")),
                field("day", when, "by which day", by, self._set_day),
                costs,
            ],
            [*self._next_day(), take],
            Body.RULE,
            rules=(
                days_picture(answer.days if answer is not None else None),
                prices_picture(answer.prices if answer is not None else None, price or "Price of one", stack.money),
            ),
        )

    def _next_day(self) -> list[Action]:
        """The day that holds where the one that was asked for doesn't: a press asks for it. Its place is kept."""
        answer = self._found.answer
        if self._day is None:
            return []
        if answer is None or answer.next_day is None or self._found.rough:
            waits = answer is None or self._found.rough
            why = "The day is not worked out yet." if waits else "No other day is needed, or none holds."
            return [item("next", "A day that holds", lambda: None, role="raised", why_not=why)]
        title = f"By {day_text(answer.next_day)}"
        return [item("next", title, partial(self._set_day, answer.next_day), "holds 8 times in 10", role="raised")]

    def _title(self) -> str:
        """The answer as to the date; the question until there is one."""
        if self._pattern_id is not None:
            self._ask(self._pattern_id)
        answer = self._found.answer
        if self._found.why or answer is None:
            return self._found.why or "Working it out …"
        return f"Roughly: {answer.date}" if self._found.rough else answer.date

    def _ask(self, pattern_id: int) -> None:
        """Have it worked out, once for each question and each state of the record: roughly first.

        How past forecasts held is the same for every question, and asked once the answer is there.
        """
        from shopclock.analysis.forecast.forecast import QUICK_DRAWS
        from shopclock.analysis.plan.held import forecasts_held
        from shopclock.analysis.plan.promise import can_be_promised

        record, path = self._stack.record, str(self._stack.record.path)
        asked = (pattern_id, self._wanted, self._day)
        task = partial(can_be_promised, path, *asked, record.instant(), self._stack.manner)
        self._found.ask((asked, record.next_undo), partial(task, draws=QUICK_DRAWS), task)
        if self._found.answer is not None and not self._found.rough:
            self._past.ask(record.next_undo, partial(forecasts_held, path, record.instant()))

    def _set_day(self, day: date) -> None:
        self._day = day
        self._another()

    def _take(self) -> object:
        pattern = self._pattern
        return take_order(self._stack, pattern, self._wanted, self._day) if pattern is not None else None
