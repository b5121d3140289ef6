"""What holds work, and how much at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.shop.fields import listed
from shopclock.shop.setup.list_edit import add_tool, holds_no_load, set_capacity
from shopclock.shop.values.entities import Tool
from shopclock.views.dialogs import Choice
from shopclock.views.field import Number, Text, field
from shopclock.views.page import PageContent

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.field import Asking
    from shopclock.views.page import Action


def tools_page(stack: PagedPresenter) -> PageContent:
    """Every tool by name, those put away last."""

    def add(name: str) -> object:
        return stack.make(f"Added {name}", lambda tx: add_tool(tx, name), lambda tool: _capacity(stack, tool))

    tools = sorted(stack.floor.all(Tool), key=lambda tool: (tool.put_away, tool.name.casefold()))
    return PageContent(
        "Tools",
        ["What holds work: an oven with 5 places, 8 clamps. A step says what each piece takes of it."],
        [_tool(stack, tool) for tool in tools],
        [field("add", "Add a tool", "", Text("Name of the tool"), add, role="primary")],
    )


def _tool(stack: PagedPresenter, tool: Tool) -> Action:
    def empty() -> None:
        stack.do(f"{tool.name} holds no load", lambda tx: holds_no_load(tx, tool))

    holds = (Choice("holds", "What it holds at once", f"{held(tool)} now"), lambda: _capacity(stack, tool))
    none = (Choice("none", "Holds no load", "one after the other"), empty)
    return listed(stack, tool, held(tool), [holds] if tool.capacity is None else [holds, none])


def _capacity(stack: PagedPresenter, tool: Tool) -> Asking[None]:
    start = "" if tool.capacity is None else f"{tool.capacity:g}"
    typed = yield from Number(f"How many does {tool.name} hold at once", start)
    stack.do(f"{tool.name} holds {typed}", lambda tx: set_capacity(tx, tool, typed))


def held(tool: Tool) -> str:
    """Say what a tool holds at once: holds 5, or one after the other."""
    return "one after the other" if tool.capacity is None else f"holds {tool.capacity:g}"
