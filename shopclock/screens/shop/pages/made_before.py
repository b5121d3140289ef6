"""How many were made before timing began: where the count starts that practice is measured by."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.about import StageAbout
from shopclock.screens.shop.pages.methods import methods_of
from shopclock.shop.figures.made_before import pieces_before, set_made_before
from shopclock.shop.state.wording import counted, word
from shopclock.views.page import TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Method, Stage
    from shopclock.views.page import Action

NOTE = "Those you made before the first that was timed here; 0 when it was your first."


def before_said(floor: ShopFloor, stage: Stage) -> str:
    """How many were made before at a stage, by whatever method, in words."""
    ways = (None, *methods_of(floor, stage))
    return counted(floor, "piece", sum(pieces_before(floor, stage, way) for way in ways))


def ask_whole(stack: PagedPresenter) -> None:
    """Ask how many whole pieces were made before."""
    _ask(stack, None, None, f"Whole {word(stack.floor, 'piece').many} made before timing began")


def _ask(stack: PagedPresenter, stage: Stage | None, method: Method | None, question: str) -> None:
    start = str(pieces_before(stack.floor, stage, method))
    then = on_answer(lambda typed: _set(stack, stage, method, typed))
    stack.dialogs.number(question, start, then, note=NOTE)


def _set(stack: PagedPresenter, stage: Stage | None, method: Method | None, typed: str) -> None:
    stack.do(f"Made before: {typed}", lambda tx: set_made_before(tx, stage, method, typed))


class MadeBeforePage(StageAbout):
    """A stage's methods, each with what was made by it before; one number for a stage without methods."""

    def title(self) -> str:
        """At which stage."""
        return f"Made before timing began: {self.stage.name}"

    def lines(self) -> Sequence[TextLine]:
        """What it is for."""
        return (TextLine("Practice counts from your first, timed or not. Trends begin their count here."),)

    def offers(self) -> Sequence[Action]:
        """The ways of doing it, those that were put away too: they have their history."""
        methods: list[Method | None] = [*methods_of(self._stack.floor, self.stage)]
        return [self._way(method) for method in methods or [None]]

    def _way(self, method: Method | None) -> Action:
        floor, stage = self._stack.floor, self.stage
        named = f"{stage.name}, {method.name}" if method else stage.name
        return action(
            f"before {method.id if method else 0}",
            method.name if method else stage.name,
            calling(lambda: _ask(self._stack, stage, method, f"{named}: made before timing began")),
            detail=counted(floor, "piece", pieces_before(floor, stage, method)),
        )
