"""The ways of doing a stage."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.about import StageAbout
from shopclock.screens.paged.offers import calling, offer, on_answer
from shopclock.screens.paged.page import Line
from shopclock.screens.shop.renaming import rename_or_put_away
from shopclock.shop.list_edit import new_method
from shopclock.shop.values import Method, Stage

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.page import Offer
    from shopclock.shop.floor import Floor


def methods_of(floor: Floor, stage: Stage) -> list[Method]:
    """A stage's methods, those put away last."""
    own = [method for method in floor.all(Method) if method.stage_id == stage.id]
    return sorted(own, key=lambda method: method.put_away)


def methods_said(floor: Floor, stage: Stage) -> str:
    """A stage's methods in one line."""
    return ", ".join(m.name for m in methods_of(floor, stage) if not m.put_away) or "none"


class MethodsPage(StageAbout):
    """The methods of a stage, wherever it stands in a route."""

    def title(self) -> str:
        """Whose methods."""
        return f"Methods of {self.stage.name}"

    def lines(self) -> Sequence[Line]:
        """What they are for."""
        return (Line("Minutes are kept apart by method, so that one way can be held against another."),)

    def offers(self) -> Sequence[Offer]:
        """The methods."""
        return [self._method(method) for method in methods_of(self._stack.floor, self.stage)]

    def actions(self) -> Sequence[Offer]:
        """One more."""
        return [offer("add", "Add a method", calling(self._ask_name), role="primary")]

    def _method(self, method: Method) -> Offer:
        return offer(
            f"method {method.id}",
            method.name,
            calling(lambda: rename_or_put_away(self._stack, method)),
            detail="put away" if method.put_away else "",
            role="raised" if method.put_away else "plate",
        )

    def _ask_name(self) -> None:
        self._stack.dialogs.text(f"Another way of {self.stage.name}", "", on_answer(self._add))

    def _add(self, name: str) -> None:
        self._stack.do(f"Added {name}", lambda turn: new_method(turn, self.stage, name))
