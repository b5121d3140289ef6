"""The ways of doing a stage."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.shop.fields import listed
from shopclock.shop.setup.list_edit import new_method
from shopclock.shop.values.entities import Method, Stage
from shopclock.views.field import Text, field
from shopclock.views.page import PageContent

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor


def methods_of(floor: ShopFloor, stage: Stage) -> list[Method]:
    """A stage's methods, those put away last."""
    own = [method for method in floor.all(Method) if method.stage_id == stage.id]
    return sorted(own, key=lambda method: method.put_away)


def methods_said(floor: ShopFloor, stage: Stage) -> str:
    """A stage's methods in one line."""
    return ", ".join(m.name for m in methods_of(floor, stage) if not m.put_away) or "none"


def methods_page(stack: PagedPresenter, stage: Stage) -> PageContent:
    """The methods of a stage, wherever it stands in a route."""

    def add(name: str) -> None:
        stack.do(f"Added {name}", lambda tx: new_method(tx, stage, name))

    return PageContent(
        f"Methods of {stage.name}",
        ["Minutes are kept apart by method, so that one way can be held against another."],
        [listed(stack, method) for method in methods_of(stack.floor, stage)],
        [field("add", "Add a method", "", Text(f"Another way of {stage.name}"), add, role="primary")],
    )
