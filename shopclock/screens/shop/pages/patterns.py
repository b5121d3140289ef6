"""The patterns, and a new one by copying a route."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.shop.pages.pattern import PatternPage
from shopclock.shop.setup.patterns import copy_pattern, copy_route, newest_route, route_steps
from shopclock.shop.state.wording import counted
from shopclock.shop.values.entities import Batch, Pattern
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.routes.starter_route import StarterRoute
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.views.page import Action


def sorted_patterns(floor: ShopFloor, *, away: bool) -> list[Pattern]:
    """The patterns in use, or those put away, by name."""
    found = [pattern for pattern in floor.all(Pattern) if pattern.put_away is away]
    return sorted(found, key=lambda pattern: pattern.name.casefold())


class PatternsPage(Page):
    """Every pattern, those put away last."""

    def __init__(self, stack: PagedPresenter, starter_routes: Sequence[StarterRoute]) -> None:
        self._stack = stack
        self._starter_routes = starter_routes

    def title(self) -> str:
        """What it is."""
        return "Patterns" if any(self._stack.floor.all(Pattern)) else "There is no pattern yet"

    def lines(self) -> Sequence[TextLine]:
        """How one is made."""
        if any(self._stack.floor.all(Pattern)):
            return ()
        return (TextLine("Copy the route that comes nearest and give it a name. Everything can be changed later."),)

    def offers(self) -> Sequence[Action]:
        """A tile for each."""
        floor = self._stack.floor
        shown = [*sorted_patterns(floor, away=False), *sorted_patterns(floor, away=True)]
        return [self._pattern(pattern) for pattern in shown]

    def actions(self) -> Sequence[Action]:
        """A new one."""
        page = CopyPatternPage(self._stack, self._starter_routes)
        return [action("copy", "Copy a route", calling(lambda: self._stack.open(page)), role="primary")]

    def _pattern(self, pattern: Pattern) -> Action:
        floor = self._stack.floor
        n = len(route_steps(floor, newest_route(floor, pattern)))
        made = sum(batch.pattern_id == pattern.id for batch in floor.all(Batch))
        return action(
            f"pattern {pattern.id}",
            pattern.name,
            calling(lambda: self._stack.open(PatternPage(self._stack, pattern.id))),
            detail="put away" if pattern.put_away else f"{n} steps · {counted(floor, 'batch', made)}",
            role="raised" if pattern.put_away else "plate",
        )


class CopyPatternPage(Page):
    """Which route to copy: those that come with the program, then the shop's own."""

    def __init__(self, stack: PagedPresenter, starter_routes: Sequence[StarterRoute]) -> None:
        self._stack = stack
        self._starter_routes = starter_routes

    def title(self) -> str:
        """The question."""
        return "Which route to copy"

    def lines(self) -> Sequence[TextLine]:
        """What the minutes in it are worth."""
        return (TextLine("Minutes in these routes are a start; the shop's own take their place."),)

    def offers(self) -> Sequence[Action]:
        """The routes."""
        starters = [self._starter(number, route) for number, route in enumerate(self._starter_routes)]
        return [*starters, *(self._own(pattern) for pattern in sorted_patterns(self._stack.floor, away=False))]

    def _starter(self, number: int, route: StarterRoute) -> Action:
        return action(
            f"route {number}",
            route.name,
            calling(lambda: self._ask_name(route.name, lambda name: lambda tx: copy_route(tx, route, name))),
            detail=f"{len(route.steps)} steps",
        )

    def _own(self, pattern: Pattern) -> Action:
        floor = self._stack.floor
        n = len(route_steps(floor, newest_route(floor, pattern)))
        return action(
            f"own {pattern.id}",
            pattern.name,
            calling(lambda: self._ask_name("", lambda name: lambda tx: copy_pattern(tx, pattern, name))),
            detail=f"{n} steps, as this shop does it",
            role="raised",
        )

    def _ask_name(self, start: str, rule: Callable[[str], Callable[[Transaction], Pattern]]) -> None:
        self._stack.dialogs.text("Name of the new pattern", start, on_answer(lambda name: self._copy(name, rule(name))))

    def _copy(self, name: str, rule: Callable[[Transaction], Pattern]) -> None:
        pattern = self._stack.do(f"Copied {name}", rule)
        if pattern is not None:
            self._stack.back()
            self._stack.open(PatternPage(self._stack, pattern.id))
