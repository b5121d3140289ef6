"""Words of what a press does: each is said of the very act that the press carries out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench import texts
from shopclock.screens.bench.state import Verb
from shopclock.screens.bench.texts import DOT, letters_text, name_of
from shopclock.shop.values.entities import Batch, Interval
from shopclock.shop.values.kinds import WorkKind
from shopclock.shop.work.begin import gives_way
from shopclock.shop.work.loads import blocked_text
from shopclock.shop.work.makers import name_of_maker
from shopclock.shop.work.piece_progress import theirs
from shopclock.views.button import Button, Press

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Step
    from shopclock.shop.work.acts import Act


NO_NEXT = "Nothing is begun that could go on."
NO_PIECE = "No piece can start it now."
JUST_STOPPED = "It has just stopped."


def next_button(floor: ShopFloor, maker_id: int, act: Act | None, own: Interval | None, elsewhere: str = "") -> Button:
    """The button of *Next*: the step that starts and with whom, or who is through and what the step waits for.

    `own` is the work that it goes on from, `elsewhere` the batch of it where another is in sight.
    """
    key = Press(Verb.NEXT)
    if act is None or act.at is None:
        return Button("Next", role="raised", why_not=NO_NEXT, key=key)
    others = tuple(i for i in act.ends if (own is None or i.id != own.id) and i.maker_id == maker_id)
    if act.starts is not None:
        parts = [elsewhere, going_text(floor, act), *taken(floor, maker_id, act), *_stops(floor, others)]
        return Button(f"Next: {act.starts.name}", said(parts), role="primary", key=key)
    if not act.passing and not act.ends:
        return Button("Next", role="raised", why_not=NO_NEXT, key=key)
    why = f"{act.left.step.name} waits for the {act.left.tool.name.lower()}" if act.left is not None else ""
    title = f"All through: {letters_text(floor, act.passing)}" if act.passing else f"End: {act.at.name}"
    return Button(title, said([elsewhere, why, *_stops(floor, others)]), role="primary", key=key)


def through_button(floor: ShopFloor, act: Act, role: str) -> Button:
    """The button that says who is through what was stopped."""
    title = f"All through: {letters_text(floor, act.passing)}"
    return Button(title, act.at.name if act.at is not None else "", role=role, key=Press(Verb.THROUGH))


def stop_button(floor: ShopFloor, act: Act, *, named: bool) -> Button:
    """The button of *Stop*; `named`: it says what stops, as it has to where that is not all that is in sight."""
    several = named or len(act.ends) > 1
    detail = ", ".join(of_where(floor, i) for i in act.ends) if several else ""
    return Button("Stop", detail, role="red", detail_role="red_text", key=Press(Verb.STOP))


def carry_on_button(floor: ShopFloor, maker_id: int, act: Act, stopped: Interval) -> Button:
    """The button of *Carry on*: step and batch, the letters where not all go on, and who comes out for them."""
    rest = [texts.of_batch(floor, stopped)]
    if set(act.going) != set(stopped.pieces):
        rest.append(letters_text(floor, act.going))
    rest += taken(floor, maker_id, act)
    return Button(f"Carry on: {name_of(floor, stopped)}", said(rest), role="outline", key=Press(Verb.CARRY_ON))


def start_title(act: Act) -> str:
    """Say what a start begins: Start: Harden, Again: Harden; nothing where it takes out alone."""
    if act.starts is None:
        return "Out"
    return f"{'Again' if act.how.get('work') is WorkKind.REWORK else 'Start'}: {act.starts.name}"


def start_name(act: Act, step: Step) -> str:
    """Return how Undo calls a start."""
    if act.starts is None:
        return f"Out: {step.name}"
    return f"{'Rework' if act.how.get('work') is WorkKind.REWORK else 'Start'} {step.name}"


def going_text(floor: ShopFloor, act: Act) -> str:
    """Say who goes in, who is through without that, and who waits: A–E go in, F–J wait."""
    through = [piece for piece in act.passing if piece not in act.going]
    waiting = act.left.pieces if act.left is not None else ()
    through = [piece for piece in through if piece not in waiting]
    going = letters_text(floor, act.going)
    parts = [f"{going} go in" if waiting and len(act.going) > 1 else f"{going} goes in" if waiting else going]
    if through:
        parts.append(f"{letters_text(floor, through)} through")
    if waiting:
        who = letters_text(floor, waiting)
        parts.append(f"{who} wait" if len(waiting) > 1 else f"{who} waits")
    return said(parts)


def held_up_text(floor: ShopFloor, act: Act, now_us: int) -> str:
    """Say what the record holds against a start; empty where nothing is."""
    return blocked_text(floor, act.in_spite, now_us) if act.in_spite is not None else ""


def of_where(floor: ShopFloor, interval: Interval) -> str:
    """Say work and its batch: Grind bevels 26-10; shop work has none."""
    batch = floor.find(Batch, interval.batch_id)
    return f"{name_of(floor, interval)} {batch.name}" if batch is not None else name_of(floor, interval)


def said(parts: Iterable[str]) -> str:
    """Put parts of a line together."""
    return DOT.join(part for part in parts if part)


def _stops(floor: ShopFloor, others: Iterable[Interval]) -> list[str]:
    return [f"{of_where(floor, i)} stops" for i in others]


def taken(floor: ShopFloor, maker_id: int, act: Act) -> list[str]:
    """Say who comes out of which wait, and out of whose hands: A–D out of Temper 1, C out of Sam's hands.

    A wait of another batch is said with its name. Another's work that nobody is left in stops: Sam's Saw out stops.
    """
    step = act.starts
    if step is None:  # its button is called Out
        return []
    waits = {wait.id: wait.pieces for wait in (*act.comes_out, *act.early)}
    for held in gives_way(floor, step, act.going):
        if not held.kind.attended:
            waits.setdefault(held.id, tuple(piece for piece in held.pieces if piece in act.going))
    found: dict[str, list[int]] = {}
    for number, pieces in waits.items():
        wait = floor.get(Interval, number)
        where = name_of(floor, wait) if wait.batch_id == step.batch_id else of_where(floor, wait)
        found.setdefault(where, []).extend(pieces)
    others = theirs(floor, maker_id, step)
    for piece in act.going:
        if piece in others:
            found.setdefault(f"{name_of_maker(floor, others[piece].maker_id)}'s hands", []).append(piece)
    stops = [f"{_whose(floor, i)} stops" for i in act.ends if i.maker_id != maker_id]
    return [*(f"{letters_text(floor, pieces)} out of {where}" for where, pieces in found.items()), *stops]


def _whose(floor: ShopFloor, interval: Interval) -> str:
    """Say another maker's work: Sam's Saw out."""
    return f"{name_of_maker(floor, interval.maker_id)}'s {name_of(floor, interval)}"
