"""Answers that put the record right, where a step was started though its tool was full or set otherwise."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.screens.bench.state import Verb
from shopclock.screens.bench.texts import capital, letters_text, name_of
from shopclock.shop.values.entities import Load, Tool
from shopclock.shop.work.in_spite import into_other_tool, other_tool, others_inside, set_now, took_out
from shopclock.views.button import Button, Press

if TYPE_CHECKING:
    from collections.abc import Callable
    from enum import StrEnum

    from shopclock.record.file.undo import Pressed
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import Interval
    from shopclock.shop.work.loads import Blocked

ANSWERS = (Verb.SET_NOW, Verb.IT_FITS, Verb.OTHER_TOOL, Verb.TOOK_OUT, Verb.NOT_STARTED)


@dataclass(frozen=True, slots=True)
class InSpite:
    """Start in spite of the record, what that held, and the press: it is asked about while that is the newest."""

    interval_id: int
    held: Blocked
    pressed: Pressed | None


def answers(floor: ShopFloor, begun: Interval, held: Blocked) -> tuple[Button, ...]:
    """Return what may be true instead, one press each, the likeliest first; unanswered it is as it was pressed."""
    load = floor.get(Load, begun.load_id or 0)
    there = others_inside(floor, begun)
    found = []
    if held.setting:
        found.append(Button(f"{capital(held.tool.name)} at {load.setting} now", key=Press(Verb.SET_NOW)))
    else:
        found.append(Button("It fits", letters_text(floor, begun.pieces), key=Press(Verb.IT_FITS)))
    if there:
        who = letters_text(floor, [piece for i in there for piece in i.pieces])
        found.append(Button("Took them out", f"{who} from {name_of(floor, there[0])}", key=Press(Verb.TOOK_OUT)))
    other = other_tool(floor, held.tool, begun)
    title = f"In {other.name}" if other is not None else f"Another {held.tool.name}"
    found.append(Button(title, letters_text(floor, begun.pieces), key=Press(Verb.OTHER_TOOL)))
    return (*found, Button("Not started", name_of(floor, begun), key=Press(Verb.NOT_STARTED)))


def answer_rule(floor: ShopFloor, verb: StrEnum, begun: Interval) -> tuple[str, Callable[[Transaction], object]]:
    """Return how an answer is called on Undo, and what it does."""
    tool = floor.get(Tool, floor.get(Load, begun.load_id or 0).tool_id)
    if verb is Verb.SET_NOW:
        return f"{capital(tool.name)} set", lambda tx: set_now(tx, begun)
    if verb is Verb.TOOK_OUT:
        return "Took them out", lambda tx: took_out(tx, begun)
    return f"Another {tool.name}", lambda tx: into_other_tool(tx, begun)
