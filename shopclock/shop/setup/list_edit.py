"""Changing the shop's own lists: stages, methods, tools, reasons, patterns. Nothing with history is deleted."""

from dataclasses import replace
from typing import TypedDict, TypeVar, Unpack

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Method, NoteWord, Pattern, Reason, RouteStep, Stage, Step, Tool, Word
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.habits import marked
from shopclock.shop.values.kinds import Kind
from shopclock.shop.values.names import good_name, good_number

Named = TypeVar("Named", bound=Stage | Method | Tool | Reason | NoteWord | Pattern)
MOST_CAPACITY = 999


def rename(tx: Transaction, thing: Named, name: str) -> Named:
    """Give a thing another name; it stays the same thing, with its history.

    Steps that are called as their stage is take its new name, in every route and in open batches.
    """
    wanted = good_name(name, _names_beside(tx.floor, thing))
    if isinstance(thing, Stage):
        former = tx.current(thing).name.casefold()
        for step in (*tx.floor.all(RouteStep), *tx.floor.all(Step)):
            if step.stage_id == thing.id and step.name.casefold() == former:
                tx.change(replace(step, name=wanted))
    return tx.change(replace(tx.current(thing), name=wanted))


def _names_beside(floor: ShopFloor, thing: Stage | Method | Tool | Reason | NoteWord | Pattern) -> list[str]:
    """Return the names that a thing's name has to be told apart from."""
    if isinstance(thing, Method):
        return [m.name for m in floor.all(Method) if m.stage_id == thing.stage_id and m.id != thing.id]
    return [other.name for other in floor.all(type(thing)) if other.id != thing.id]


def put_away(tx: Transaction, thing: Named, *, away: bool = True) -> Named:
    """Take a thing out of what is offered, or bring it back; what was done with it stays."""
    return tx.change(replace(tx.current(thing), put_away=away))


def add_stage(tx: Transaction, name: str, kind: Kind = Kind.HANDS_ON, *, shop_work: bool = False) -> Stage:
    """Add a kind of work, in rounds until told otherwise."""
    taken = [stage.name for stage in tx.floor.all(Stage)]
    return tx.add(Stage(name=good_name(name, taken), kind=kind, shop_work=shop_work))


class StageFields(TypedDict, total=False):
    """Fields that a new step of a stage begins with."""

    kind: Kind
    one_by_one: bool


def change_stage(tx: Transaction, stage: Stage, **fields: Unpack[StageFields]) -> Stage:
    """Change what a new step of a stage begins with: kind, one by one or in rounds. Steps that there are stay."""
    return tx.change(replace(tx.current(stage), **fields))


def new_method(tx: Transaction, stage: Stage, name: str) -> Method:
    """Add a way of doing a stage; one that was put away comes back."""
    own = [method for method in tx.floor.all(Method) if method.stage_id == stage.id]
    wanted = " ".join(name.split()).casefold()
    away = next((m for m in own if m.put_away and m.name.casefold() == wanted), None)
    if away is not None:
        return put_away(tx, away, away=False)
    return tx.add(Method(stage_id=stage.id, name=good_name(name, [m.name for m in own])))


def add_tool(tx: Transaction, name: str) -> Tool:
    """Add a tool that holds no load until told otherwise: pieces go through it one after the other."""
    taken = [tool.name for tool in tx.floor.all(Tool)]
    return tx.add(Tool(name=good_name(name, taken)))


def set_capacity(tx: Transaction, tool: Tool, typed: str) -> Tool:
    """Say how many shares a tool holds at once, as typed: 5 places in an oven, 8 clamps."""
    capacity = good_number(typed, MOST_CAPACITY)
    if capacity is None:
        raise Refusal(f"{marked(typed)} is no number above 0, up to {MOST_CAPACITY}. Nothing was changed.")
    return tx.change(replace(tx.current(tool), capacity=capacity))


def holds_no_load(tx: Transaction, tool: Tool) -> Tool:
    """Let pieces go through a tool one after the other: nothing counts what is in it."""
    return tx.change(replace(tx.current(tool), capacity=None))


def add_reason(tx: Transaction, name: str) -> Reason:
    """Add a reason at the end of the list."""
    reasons = list(tx.floor.all(Reason))
    position = max((reason.position for reason in reasons), default=-1) + 1
    return tx.add(Reason(name=good_name(name, [r.name for r in reasons]), position=position))


def add_note_word(tx: Transaction, name: str) -> NoteWord:
    """Add a word for notes at the end of the list."""
    words = list(tx.floor.all(NoteWord))
    position = max((word.position for word in words), default=-1) + 1
    return tx.add(NoteWord(name=good_name(name, [word.name for word in words]), position=position))


def reasons(floor: ShopFloor, *, away: bool = False) -> tuple[Reason, ...]:
    """Return the reasons that are offered, or those put away, in the shop's order."""
    found = [reason for reason in floor.all(Reason) if reason.put_away is away]
    return tuple(sorted(found, key=lambda reason: (reason.position, reason.id)))


def move_reason(tx: Transaction, reason: Reason, by: int) -> Reason:
    """Move a reason up (negative) or down among those offered; at the end it stays."""
    listed = list(reasons(tx.floor))
    at = next(i for i, other in enumerate(listed) if other.id == reason.id)
    listed.insert(min(max(at + by, 0), len(listed) - 1), listed.pop(at))
    for position, other in enumerate((*listed, *reasons(tx.floor, away=True))):
        tx.change(replace(tx.current(other), position=position))
    return tx.floor.get(Reason, reason.id)


def set_word(tx: Transaction, word: Word, one: str, many: str) -> Word:
    """Say what the shop calls one of a thing, and many."""
    return tx.change(replace(tx.current(word), one=good_name(one), many=good_name(many)))
