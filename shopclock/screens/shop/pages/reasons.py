"""Why pieces are lost or set aside, in the shop's own words and order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.shop.renaming import rename_or_put_away
from shopclock.shop.setup.list_edit import add_reason, move_reason, reasons
from shopclock.views.dialogs import Choice
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.values.entities import Reason
    from shopclock.views.page import Action


class ReasonsPage(Page):
    """The reasons in the order in which they are offered."""

    def __init__(self, stack: PagedPresenter) -> None:
        self._stack = stack

    def title(self) -> str:
        """What it is."""
        return "Reasons"

    def lines(self) -> Sequence[TextLine]:
        """What they are for."""
        return (TextLine("Asked for in this order when a piece is lost."),)

    def offers(self) -> Sequence[Action]:
        """The reasons, those put away last."""
        floor = self._stack.floor
        return [self._reason(reason) for reason in (*reasons(floor), *reasons(floor, away=True))]

    def actions(self) -> Sequence[Action]:
        """One more."""
        return [action("add", "Add a reason", calling(self._ask_name), role="primary")]

    def _reason(self, reason: Reason) -> Action:
        moves = (
            (Choice("earlier", "Earlier"), lambda: self._move(reason, -1)),
            (Choice("later", "Later"), lambda: self._move(reason, 1)),
        )
        return action(
            f"reason {reason.id}",
            reason.name,
            calling(lambda: rename_or_put_away(self._stack, reason, () if reason.put_away else moves)),
            detail="put away" if reason.put_away else "",
            role="raised" if reason.put_away else "plate",
        )

    def _move(self, reason: Reason, by: int) -> None:
        self._stack.do(f"Moved {reason.name}", lambda tx: move_reason(tx, reason, by))

    def _ask_name(self) -> None:
        self._stack.dialogs.text("A reason, in a word or two", "", on_answer(self._add))

    def _add(self, name: str) -> None:
        self._stack.do(f"Added {name}", lambda tx: add_reason(tx, name))
