"""One pattern: the steps of its route, and what is done with the pattern itself."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.batches.pages.starting import HowMany
from shopclock.screens.batches.pages.steps import ask_new_step
from shopclock.screens.paged.described import PageAbout
from shopclock.screens.shop.pages.lists import set_away
from shopclock.screens.shop.pages.rules import rules_page
from shopclock.screens.shop.pages.step import StepPage
from shopclock.screens.shop.texts import step_said
from shopclock.shop.setup.list_edit import rename
from shopclock.shop.setup.patterns import newest_route, route_rules, route_steps
from shopclock.shop.setup.route_edit import add_step
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Batch, Pattern, RouteStep
from shopclock.views.dialogs import Choice
from shopclock.views.field import Name, choose
from shopclock.views.page import PageContent, TextLine, item

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.field import Asking


def pattern_page(stack: PagedPresenter, pattern: Pattern) -> PageContent:
    """The route of a pattern, a tile for each step; start, add, and the rest behind one button."""
    floor, batch, route = stack.floor, word(stack.floor, "batch"), newest_route(stack.floor, pattern)
    steps, rules = route_steps(floor, route), len(route_rules(floor, route))
    line = TextLine(f"A new {batch.one} can start at once; the route can be put right later.")
    if pattern.put_away:
        line = TextLine("Put away: it is not offered for a new one.", "straw")
    elif any(b.pattern_id == pattern.id and b.closed_us is None for b in floor.all(Batch)):
        line = TextLine(f"What is changed here holds for new {batch.many}; those begun keep theirs.")
    how_many, order = partial(HowMany, stack, pattern.id), partial(PageAbout, stack, pattern, rules_page)
    away = "This pattern is put away." if pattern.put_away else ""
    return PageContent(
        f"Route of {pattern.name}",
        [line],
        [
            item(f"step {s.id}", f"{n}  {s.name}", partial(StepPage, stack, pattern, s), detail=step_said(s))
            for n, s in enumerate(steps, 1)
        ],
        [
            item("start", f"New {batch.one}", how_many, role="primary", why_not=away),
            item("add", "Add a step", lambda: _add(stack, pattern, steps)),
            item("rules", "Order rules", order, detail=str(rules) if rules else "none"),
            item("more", "Name", lambda: _more(stack, pattern), detail="or put away"),
        ],
    )


def _add(stack: PagedPresenter, pattern: Pattern, steps: tuple[RouteStep, ...]) -> Asking[object]:
    stage, after = yield from ask_new_step(stack.floor, steps)
    return stack.make(
        f"Added {stage.name}",
        lambda tx: add_step(tx, pattern, stage, after),
        lambda step: StepPage(stack, pattern, step),
    )


def _more(stack: PagedPresenter, pattern: Pattern) -> Asking[None]:
    away = ("bring", "Bring back") if pattern.put_away else ("away", "Put away")
    answers = [(Choice("name", "Another name"), True), (Choice(*away, "what was made of it stays"), False)]
    if (yield from choose(pattern.name, answers)):
        name = yield from Name("Name of the pattern", pattern.name)
        stack.do(f"Name: {name}", lambda tx: rename(tx, pattern, name))
    else:
        set_away(stack, pattern)
