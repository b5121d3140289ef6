"""How many were made before timing began: where the count starts that practice is measured by."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.shop.pages.methods import methods_of
from shopclock.shop.figures.made_before import pieces_before, set_made_before
from shopclock.shop.state.wording import counted, word
from shopclock.views.field import Number
from shopclock.views.page import PageContent, item

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Method, Stage
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

NOTE = "Those you made before the first that was timed here; 0 when it was your first."


def before_said(floor: ShopFloor, stage: Stage) -> str:
    """How many were made before at a stage, by whatever method, in words."""
    ways = (None, *methods_of(floor, stage))
    return counted(floor, "piece", sum(pieces_before(floor, stage, way) for way in ways))


def ask_before(stack: PagedPresenter, stage: Stage | None, method: Method | None) -> Asking[None]:
    """How many were made before at a stage by a method; without a stage, how many whole pieces."""
    whole = f"Whole {word(stack.floor, 'piece').many}"
    named = ", ".join(thing.name for thing in (stage, method) if thing)
    question = f"{named}: made before timing began" if stage else f"{whole} made before timing began"
    typed = yield from Number(question, str(pieces_before(stack.floor, stage, method)), note=NOTE)
    stack.do(f"Made before: {typed}", lambda tx: set_made_before(tx, stage, method, typed))


def made_before_page(stack: PagedPresenter, stage: Stage) -> PageContent:
    """A stage's methods, each with what was made by it before; one number for a stage without methods.

    Those that were put away are there too: they have their history.
    """
    ways: list[Method | None] = [*methods_of(stack.floor, stage)]
    return PageContent(
        f"Made before timing began: {stage.name}",
        ["Practice counts from your first, timed or not. Trends begin their count here."],
        [_way(stack, stage, method) for method in ways or [None]],
    )


def _way(stack: PagedPresenter, stage: Stage, method: Method | None) -> Action:
    return item(
        f"before {method.id if method else 0}",
        method.name if method else stage.name,
        lambda: ask_before(stack, stage, method),
        detail=counted(stack.floor, "piece", pieces_before(stack.floor, stage, method)),
    )
