"""The patterns, and a new one by copying a route."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.paged.described import DescribedPage, PageAbout
from shopclock.screens.shop.pages.pattern import pattern_page
from shopclock.shop.setup.patterns import copy_pattern, copy_route, newest_route, route_steps
from shopclock.shop.setup.route_words import speaks_first, use_words, words_of, worth_asking
from shopclock.shop.state.wording import counted, word
from shopclock.shop.values.entities import Batch, Pattern
from shopclock.views.dialogs import Choice
from shopclock.views.field import Name, Pick
from shopclock.views.page import PageContent, item, nothing_yet

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.routes.starter_route import StarterRoute
    from shopclock.shop.state.transaction import Transaction
    from shopclock.views.field import Asking
    from shopclock.views.page import Action


def patterns_page(stack: PagedPresenter, starter_routes: Sequence[StarterRoute]) -> PageContent:
    """Every pattern by name, those put away last."""
    patterns = sorted(stack.floor.all(Pattern), key=lambda pattern: (pattern.put_away, pattern.name.casefold()))
    begin = "Copy the route that comes nearest and give it a name. Everything can be changed later."
    opened = partial(DescribedPage, stack, partial(copy_page, starter_routes=starter_routes))
    copy = item("copy", "Copy a route", opened, role="primary")
    if not patterns:
        return nothing_yet("There is no pattern yet", begin, copy)
    return PageContent("Patterns", tiles=[_pattern(stack, pattern) for pattern in patterns], actions=[copy])


def _pattern(stack: PagedPresenter, pattern: Pattern) -> Action:
    made = counted(stack.floor, "batch", sum(batch.pattern_id == pattern.id for batch in stack.floor.all(Batch)))
    return item(
        f"pattern {pattern.id}",
        pattern.name,
        lambda: PageAbout(stack, pattern, pattern_page),
        detail="put away" if pattern.put_away else f"{_steps(stack, pattern)} steps · {made}",
        role="raised" if pattern.put_away else "plate",
    )


def _steps(stack: PagedPresenter, pattern: Pattern) -> int:
    return len(route_steps(stack.floor, newest_route(stack.floor, pattern)))


def copy_page(stack: PagedPresenter, starter_routes: Sequence[StarterRoute]) -> PageContent:
    """Routes to copy: those that come with the program, then the shop's own."""

    def starter(number: int, route: StarterRoute) -> Action:
        ask = partial(_copy_starter, stack, route)
        return item(f"route {number}", route.name, ask, detail=f"{len(route.steps)} steps")

    def own(pattern: Pattern) -> Action:
        ask = partial(_copy, stack, "", lambda tx, name: copy_pattern(tx, pattern, name))
        detail = f"{_steps(stack, pattern)} steps, as this shop does it"
        return item(f"own {pattern.id}", pattern.name, ask, detail=detail, role="raised")

    patterns = [pattern for pattern in stack.floor.all(Pattern) if not pattern.put_away]
    return PageContent(
        "Which route to copy",
        ["Minutes in these routes are a start; the shop's own take their place."],
        [
            *(starter(number, route) for number, route in enumerate(starter_routes)),
            *map(own, sorted(patterns, key=lambda pattern: pattern.name.casefold())),
        ],
    )


def _copy_starter(stack: PagedPresenter, route: StarterRoute) -> Asking[object]:
    """Copy one that came with the program; a new shop takes its words, one of another trade is asked about them."""
    takes = speaks_first(stack.floor, route)

    def rule(tx: Transaction, name: str) -> Pattern:
        if takes:
            use_words(tx, route)
        return copy_route(tx, route, name)

    ask = worth_asking(stack.floor, route)
    opened = yield from _copy(stack, route.name, rule)
    if ask and opened is not None:
        own = [words_of(route)["piece"][0], words_of(route)["finished"][0]]
        now = [word(stack.floor, name).one for name in ("piece", "finished")]
        ways = (Choice("route", _pair(own), "everywhere, for all of the shop"), Choice("stay", _pair(now), "as it is"))
        if (yield from Pick("What the shop calls a piece, and a finished one", ways)) == "route":
            stack.do("Words of the route", lambda tx: use_words(tx, route))
    return opened


def _pair(words: Sequence[str]) -> str:
    return ", ".join(dict.fromkeys(words))


def _copy(stack: PagedPresenter, start: str, rule: Callable[[Transaction, str], Pattern]) -> Asking[object]:
    name = yield from Name("Name of the new pattern", start)

    def opened(pattern: Pattern) -> object:
        stack.back()
        return PageAbout(stack, pattern, pattern_page)

    return stack.make(f"Copied {name}", lambda tx: rule(tx, name), opened)
