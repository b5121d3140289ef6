"""Why pieces are lost or set aside, in the shop's own words and order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.shop.fields import listed
from shopclock.shop.setup.list_edit import add_reason, move_reason, reasons
from shopclock.views.dialogs import Choice
from shopclock.views.field import Text, field
from shopclock.views.page import PageContent

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.values.entities import Reason
    from shopclock.views.page import Action


def reasons_page(stack: PagedPresenter) -> PageContent:
    """The reasons in the order in which they are offered, those put away last."""

    def add(name: str) -> None:
        stack.do(f"Added {name}", lambda tx: add_reason(tx, name))

    shown = [*reasons(stack.floor), *reasons(stack.floor, away=True)]
    return PageContent(
        "Reasons",
        ["Asked for in this order when a piece is lost."],
        [_reason(stack, reason) for reason in shown],
        [field("add", "Add a reason", "", Text("A reason, in a word or two"), add, role="primary")],
    )


def _reason(stack: PagedPresenter, reason: Reason) -> Action:
    def move(by: int) -> None:
        stack.do(f"Moved {reason.name}", lambda tx: move_reason(tx, reason, by))

    moves = [(Choice("earlier", "Earlier"), lambda: move(-1)), (Choice("later", "Later"), lambda: move(1))]
    return listed(stack, reason, more=[] if reason.put_away else moves)
