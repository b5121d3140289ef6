"""Texts of the pages of old notes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.exchange.notes.columns import What, letter
from shopclock.exchange.notes.text import estimated_text, made_text
from shopclock.exchange.notes.time import DateOrder, LengthUnit, Unreadable, date_of
from shopclock.shop.state.wording import day_text
from shopclock.views.dialogs import Choice

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shopclock.exchange.notes.columns import Columns
    from shopclock.exchange.notes.counts import Counts
    from shopclock.exchange.notes.match import Match
    from shopclock.exchange.notes.notes_in import NotesPreview
    from shopclock.shop.state.shop_floor import ShopFloor

MEANINGS = {
    What.DATE: "the day of the work",
    What.START: "the time of day it began",
    What.END: "the time of day it ended",
    What.LENGTH: "how long it took",
    What.BATCH: "the name of the batch",
    What.PATTERN: "what was made",
    What.STAGE: "what was done",
    What.PIECES: "how many",
    What.METHOD: "how it was done",
    What.NOTE: "anything else",
}
NOTHING = "nothing"
TIMED = "timed"


def meanings(columns: Columns, place: int) -> list[Choice]:
    """Meanings that a column can have; the one it is taken for is marked."""
    is_now = meaning_at(columns, place)
    choices = [
        Choice(what.value, what.value.capitalize(), said, checked=what is is_now) for what, said in MEANINGS.items()
    ]
    return [*choices, Choice(NOTHING, "Nothing", "it is left out", checked=is_now is None)]


def meaning_at(columns: Columns, place: int) -> What | None:
    """Meaning that a column is taken for."""
    return next((what for what, at in columns.places.items() if at == place), None)


def day_of_example(example: str, order: DateOrder) -> str:
    """Day that 7/3/26 is by an order: Sat 7 March 2026."""
    try:
        day = date_of(example, order)
    except Unreadable:
        return order.value
    return f"{day_text(day)} {day.year}"


def date_choices(example: str) -> list[Choice]:
    """Days that an unclear date can be."""
    return [Choice(order.value, day_of_example(example, order), order.value) for order in DateOrder]


def number_choices(example: str) -> list[Choice]:
    """Units that a bare number can be of."""
    return [Choice(unit.value, f"{example} {unit.value}") for unit in LengthUnit]


def columns_said(columns: Columns) -> str:
    """Columns and what each is: A date, B stage."""
    places = sorted(columns.places.items(), key=lambda item: item[1])
    return ", ".join(f"{letter(place)}\N{NO-BREAK SPACE}{what.value}" for what, place in places)


def measured_choices() -> list[Choice]:
    """Answers to where lengths are from, each with what follows from it."""
    return [
        Choice(TIMED, "Timed by a clock", "they count in hours, costs and trends, marked from notes"),
        Choice("guessed", "Guessed afterwards", "they count in hours and costs, in no trend"),
    ]


def match_said(one: Match) -> str:
    """Stage or batch that a name is taken for."""
    name = f"likely {one.name}" if one.likely else one.name
    if not one.known:
        name = "a new one" if one.name == one.written else f"a new one: {one.name}"
    return f"{name}, {one.method}" if one.method else name


def stages_said(stages: tuple[Match, ...]) -> str:
    """Number of names are only likely, how many new."""
    likely, new = sum(one.likely for one in stages), sum(not one.known for one in stages)
    parts = [f"{n} {what}" for n, what in ((likely, "only likely"), (new, "new")) if n]
    return ", ".join(parts) or "all are the shop's"


def title_of(floor: ShopFloor, seen: NotesPreview) -> str:
    """Title of what would be made, or why nothing would."""
    made = seen.counts
    if seen.missing:
        return f"{seen.name}: which column is the {' and which the '.join(seen.missing)}?"
    if made is None:
        return f"{seen.name}: first answer what is asked"
    if made.intervals:
        return made_text(floor, made)
    if made.known and not made.left_out:
        return f"All {made.known} rows of {seen.name} are in the record already: there is nothing to add."
    return f"Nothing of {seen.name} can be brought in as it is."


def lines_of(made: Counts) -> Iterator[str]:
    """Lines of what is guessed, and what is there already."""
    if made.estimated:
        yield estimated_text(made)
    if made.known and made.intervals:
        yield f"{made.known} rows are in the record already and are not brought in again."


def left_out_said(made: Counts) -> str:
    """Number of rows can't be taken."""
    return "1 row can't be taken" if made.left_out == 1 else f"{made.left_out} rows can't be taken"
