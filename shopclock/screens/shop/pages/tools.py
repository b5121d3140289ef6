"""What holds work, and how much at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.shop.renaming import rename_or_put_away
from shopclock.shop.setup.list_edit import add_tool, holds_no_load, set_capacity
from shopclock.shop.values.entities import Tool
from shopclock.views.dialogs import Choice
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action


class ToolsPage(Page):
    """Every tool by name, those put away last."""

    def __init__(self, stack: PagedPresenter) -> None:
        self._stack = stack

    def title(self) -> str:
        """What it is."""
        return "Tools"

    def lines(self) -> Sequence[TextLine]:
        """What counts as one."""
        return (TextLine("What holds work: an oven with 5 places, 8 clamps. A step says what each piece takes of it."),)

    def offers(self) -> Sequence[Action]:
        """The tools."""
        tools = sorted(self._stack.floor.all(Tool), key=lambda tool: (tool.put_away, tool.name.casefold()))
        return [self._tool(tool) for tool in tools]

    def actions(self) -> Sequence[Action]:
        """One more."""
        return [action("add", "Add a tool", calling(self._ask_name), role="primary")]

    def _tool(self, tool: Tool) -> Action:
        more = [(Choice("holds", "What it holds at once", f"{held(tool)} now"), lambda: self._ask_capacity(tool))]
        if tool.capacity is not None:
            more.append((Choice("none", "Holds no load", "one after the other"), lambda: self._hold_nothing(tool)))
        return action(
            f"tool {tool.id}",
            tool.name,
            calling(lambda: rename_or_put_away(self._stack, tool, more)),
            detail="put away" if tool.put_away else held(tool),
            role="raised" if tool.put_away else "plate",
        )

    def _ask_name(self) -> None:
        self._stack.dialogs.text("Name of the tool", "", on_answer(self._add))

    def _add(self, name: str) -> None:
        tool = self._stack.do(f"Added {name}", lambda tx: add_tool(tx, name))
        if tool is not None:
            self._ask_capacity(tool)

    def _ask_capacity(self, tool: Tool) -> None:
        question = f"How many does {tool.name} hold at once"
        start = "" if tool.capacity is None else f"{tool.capacity:g}"
        self._stack.dialogs.number(question, start, on_answer(lambda n: self._hold(tool, n)))

    def _hold(self, tool: Tool, typed: str) -> None:
        self._stack.do(f"{tool.name} holds {typed}", lambda tx: set_capacity(tx, tool, typed))

    def _hold_nothing(self, tool: Tool) -> None:
        self._stack.do(f"{tool.name} holds no load", lambda tx: holds_no_load(tx, tool))


def held(tool: Tool) -> str:
    """Say what a tool holds at once: holds 5, or one after the other."""
    return "one after the other" if tool.capacity is None else f"holds {tool.capacity:g}"
