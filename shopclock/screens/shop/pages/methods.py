"""The ways of doing a stage."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.about import StageAbout
from shopclock.screens.shop.renaming import rename_or_put_away
from shopclock.shop.setup.list_edit import new_method
from shopclock.shop.values.entities import Method, Stage
from shopclock.views.page import TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.page import Action


def methods_of(floor: ShopFloor, stage: Stage) -> list[Method]:
    """A stage's methods, those put away last."""
    own = [method for method in floor.all(Method) if method.stage_id == stage.id]
    return sorted(own, key=lambda method: method.put_away)


def methods_said(floor: ShopFloor, stage: Stage) -> str:
    """A stage's methods in one line."""
    return ", ".join(m.name for m in methods_of(floor, stage) if not m.put_away) or "none"


class MethodsPage(StageAbout):
    """The methods of a stage, wherever it stands in a route."""

    def title(self) -> str:
        """Whose methods."""
        return f"Methods of {self.stage.name}"

    def lines(self) -> Sequence[TextLine]:
        """What they are for."""
        return (TextLine("Minutes are kept apart by method, so that one way can be held against another."),)

    def offers(self) -> Sequence[Action]:
        """The methods."""
        return [self._method(method) for method in methods_of(self._stack.floor, self.stage)]

    def actions(self) -> Sequence[Action]:
        """One more."""
        return [action("add", "Add a method", calling(self._ask_name), role="primary")]

    def _method(self, method: Method) -> Action:
        return action(
            f"method {method.id}",
            method.name,
            calling(lambda: rename_or_put_away(self._stack, method)),
            detail="put away" if method.put_away else "",
            role="raised" if method.put_away else "plate",
        )

    def _ask_name(self) -> None:
        self._stack.dialogs.text(f"Another way of {self.stage.name}", "", on_answer(self._add))

    def _add(self, name: str) -> None:
        self._stack.do(f"Added {name}", lambda tx: new_method(tx, self.stage, name))
