"""Putting right what the record held of a tool when a step was started in spite of it: the shop is right."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.shop.values.entities import Load, Step, Tool
from shopclock.shop.work.begin import split
from shopclock.shop.work.finish import out
from shopclock.shop.work.loads import NEARLY, agree, inside, lying, new_load

if TYPE_CHECKING:
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import Interval


def others_inside(floor: ShopFloor, begun: Interval) -> list[Interval]:
    """Return what else the record has in the tool that something was started in, by start."""
    load = floor.find(Load, begun.load_id)
    if load is None:
        return []
    return [i for i in inside(floor, floor.get(Tool, load.tool_id)) if i.id != begun.id]


def took_out(tx: Transaction, begun: Interval) -> None:
    """Note that all else has come out of the tool: waits are over; what is worked goes on beside it."""
    for interval in others_inside(tx.floor, begun):
        if interval.kind.attended:
            split(tx, replace(tx.current(interval), load_id=None))
        else:
            out(tx, interval)


def set_now(tx: Transaction, begun: Interval) -> None:
    """Note that the tool is at this step's setting now: what lay there at another lies there no more, and goes on."""
    setting = tx.floor.get(Load, begun.load_id or 0).setting
    for interval in others_inside(tx.floor, begun):
        if not agree(tx.floor.get(Load, interval.load_id or 0).setting, setting):
            split(tx, replace(tx.current(interval), load_id=None))


def into_other_tool(tx: Transaction, begun: Interval) -> Tool:
    """Have what was started lie in another tool of its kind; in a new one of the same size where none is empty."""
    tool = tx.floor.get(Tool, tx.floor.get(Load, begun.load_id or 0).tool_id)
    other = other_tool(tx.floor, tool, begun)
    if other is None:
        other = tx.add(replace(tool, name=_free_name(tx.floor, tool)))
    load = new_load(tx, other, tx.floor.get(Load, begun.load_id or 0).setting)
    tx.change(replace(tx.current(begun), load_id=load.id))
    return other


def other_tool(floor: ShopFloor, tool: Tool, begun: Interval) -> Tool | None:
    """Return the first empty tool with room for it whose name begins like this one's; nothing without one."""
    first = tool.name.split()[0].casefold()
    share = floor.get(Step, begun.step_id or 0).tool_share * len(lying(floor, begun))
    found = (t for t in floor.all(Tool) if t.id != tool.id and not t.put_away and t.name.casefold().startswith(first))
    return next((t for t in found if (t.capacity or 0) + NEARLY >= share and not inside(floor, t)), None)


def _free_name(floor: ShopFloor, tool: Tool) -> str:
    names = {t.name.casefold() for t in floor.all(Tool)}
    return next(name for n in range(2, len(names) + 3) if (name := f"{tool.name} {n}").casefold() not in names)
