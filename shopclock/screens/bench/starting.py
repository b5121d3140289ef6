"""Starting a step: with the pieces that it starts with, or a question where there are none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.screens.bench.texts import letters_text, name_of, wait_text
from shopclock.shop.values.kinds import WorkKind
from shopclock.shop.work.begin import begin
from shopclock.shop.work.finish import out, put_in
from shopclock.shop.work.loads import blocked, blocked_text, holder, inside
from shopclock.shop.work.piece_progress import eligible, held_from, through

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import Interval, Step

    Rule = Callable[[Transaction], Interval]


@dataclass(frozen=True, slots=True)
class Start:
    """Start of a step: what it is called, what it does, what has to be asked first, or said instead."""

    what: str
    rule: Rule
    question: str = ""
    yes: str = ""
    line: str = ""


def start_of(
    floor: ShopFloor, step: Step, now_us: int, pieces: tuple[int, ...] | None, method_id: int | None, *, together: bool
) -> Start:
    """Return how a step starts now, with these pieces or with those that it starts with by itself."""
    what = f"Start {step.name}"
    wanted = pieces or eligible(floor, step, now_us)
    if wanted:
        start = Start(what, lambda tx: put_in(tx, step, pieces or None, method_id=method_id, together=together))
        return _no_room(floor, step, wanted, now_us) or start
    reached = through(floor, step.batch_id)[step.id]
    held = {piece: i for piece, i in held_from(floor, step, now_us).items() if piece not in reached}
    if held:
        return _after_wait(floor, step, held, now_us, together=together)
    again = tuple(p.id for p in floor.living(step.batch_id) if not p.set_aside and p.id in reached)
    if not again:
        return Start(what, lambda tx: begin(tx, step))
    return Start(
        f"Rework {step.name}",
        lambda tx: begin(tx, step, again, work=WorkKind.REWORK, cause_step_id=step.id, together=together),
        f"All are through {step.name}. Again, as rework?",
        "Again, as rework",
    )


def _no_room(floor: ShopFloor, step: Step, pieces: tuple[int, ...], now_us: int) -> Start | None:
    """Return what is said where a step's tool takes none of these pieces: waits can be taken out of it early."""
    tool, found = holder(floor, step), blocked(floor, step, pieces, (), now_us)
    if tool is None or found is None or len(found.pieces) < len(pieces):
        return None
    said, there = blocked_text(floor, found, now_us), inside(floor, tool)
    said = f"{said[:1].upper()}{said[1:]}"
    if not there or any(i.kind.attended for i in there):
        return Start(f"Start {step.name}", lambda tx: begin(tx, step, pieces), line=f"{said}.")

    def after(tx: Transaction) -> Interval:
        _take_out(tx, there)
        return begin(tx, step, pieces)

    question = f"{said}. Take out what is in it and start {step.name}?"
    return Start(f"Start {step.name}", after, question, "Take out and start")


def _after_wait(floor: ShopFloor, step: Step, held: dict[int, Interval], now_us: int, *, together: bool) -> Start:
    waits = {i.id: i for i in held.values() if i.step_id != step.id}
    if not waits:
        first = next(iter(held.values()))
        who = letters_text(floor, first.pieces)
        question = f"{who} in {step.name}, {wait_text(floor, first, now_us)}. Out of it?"
        return Start(f"Out: {step.name}", lambda tx: _take_out(tx, [first])[0], question, "Take out")

    def after(tx: Transaction) -> Interval:
        _take_out(tx, waits.values())
        return begin(tx, step, tuple(held), together=together)

    first = next(iter(waits.values()))
    where = f"{letters_text(floor, held)} in {name_of(floor, first)}, {wait_text(floor, first, now_us)}"
    return Start(f"Start {step.name}", after, f"{where}. Take out and start {step.name}?", "Take out and start")


def _take_out(tx: Transaction, waits: Iterable[Interval]) -> list[Interval]:
    taken = list(waits)
    for interval in taken:
        out(tx, interval)
    return taken
