"""Columns of old notes and what each is: guessed from its head, else from what stands in it."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from shopclock.exchange.notes.file import NotesLine, NotesTable
from shopclock.exchange.notes.time import DateOrder, Unreadable, clock_of, date_of, length_of, typed_span


class What(StrEnum):
    """Meanings that a column can have."""

    DATE = "date"
    START = "start"
    END = "end"
    LENGTH = "length"
    BATCH = "batch"
    PATTERN = "pattern"
    STAGE = "stage"
    PIECES = "pieces"
    METHOD = "method"
    NOTE = "note"


_WORDS = {
    What.DATE: "date day when",
    What.START: "start started from begin began beginning",
    What.END: "end ended to until till stop stopped finish",
    What.LENGTH: "length duration time minutes min mins hours hrs hr h spent took worked",
    What.BATCH: "batch lot run series",
    What.PATTERN: "pattern design model type knife blade product",
    What.STAGE: "stage step work task job operation what did doing activity",
    What.PIECES: "pieces piece pcs qty quantity count number no many blades knives n",
    What.METHOD: "method how way machine",
    What.NOTE: "note notes remark remarks comment comments",
}
HEADS: Mapping[What, frozenset[str]] = {what: frozenset(words.split()) for what, words in _WORDS.items()}
"""Words of heads, the earlier meaning first where a head has words of several."""
LOOKED_AT = 200
"""So many rows tell what a column holds."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Columns by their place; where the rows begin; what the heads say."""

    places: Mapping[What, int]
    heads: tuple[str, ...]
    first_line: int

    def head(self, what: What) -> str:
        """Return the head of a column, or its letter where the table has no heads."""
        place = self.places[what]
        named = self.heads[place] if place < len(self.heads) else ""
        return named or letter(place)


def letter(place: int) -> str:
    """Name a column as spreadsheets do: A, B … Z, AA."""
    name = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        name = chr(65 + rest) + name
    return name


def guess(table: NotesTable) -> Columns:
    """Guess which column is what. Nothing is said of columns that could be anything."""
    at = _head_line(table.lines)
    heads = table.lines[at].cells if at is not None else ()
    first = 0 if at is None else at + 1
    rows = table.lines[first : first + LOOKED_AT]
    places = _by_heads(heads)
    if What.LENGTH in places and _mostly([_cell(r, places[What.LENGTH]) for r in rows], _is_clock_only):
        places[What.START] = places.pop(What.LENGTH)
    return Columns(_by_contents(places, rows), heads, first)


def said_otherwise(guessed: Columns, said: Mapping[int, What | None]) -> Columns:
    """Return the columns with those that the maker says are something else; what one is, no other is."""
    places = {what: place for what, place in guessed.places.items() if place not in said and what not in said.values()}
    places.update({what: place for place, what in said.items() if what is not None})
    return Columns(places, guessed.heads, guessed.first_line)


def place_of(name: str) -> int | None:
    """Return the place of a column that is named as spreadsheets do, A first; nothing where that names none."""
    if not re.fullmatch("[A-Za-z]{1,2}", name):
        return None
    place = 0
    for sign in name.upper():
        place = place * 26 + ord(sign) - 64
    return place - 1


def _head_line(lines: Sequence[NotesLine]) -> int | None:
    """Return which of the first lines is the heads: two or more of its words are known, and no dates are in it."""
    for at, line in enumerate(lines[:15]):
        if len(_by_heads(line.cells)) >= 2 and not any(_is_date(cell) for cell in line.cells):
            return at
    return None


def _by_heads(heads: Sequence[str]) -> dict[What, int]:
    found: dict[What, int] = {}
    for place, head in enumerate(heads):
        words = set(re.findall(r"[^\W\d_]+", head.casefold())) if len(head) <= 40 else set()
        meant = next((what for what, known in HEADS.items() if words & known and what not in found), None)
        if meant is not None:
            found[meant] = place
    return found


def _by_contents(places: dict[What, int], rows: Sequence[NotesLine]) -> dict[What, int]:
    """Add what the contents of the columns left over say."""
    width = max((len(row.cells) for row in rows), default=0)
    for place in range(width):
        if place in places.values():
            continue
        cells = [cell for row in rows if (cell := _cell(row, place))]
        meant = next((what for what, is_it in _TESTS if what not in places and cells and _mostly(cells, is_it)), None)
        if meant is not None and not (meant in _TIMES and What.LENGTH in places and What.START in places):
            places[meant] = place
    return places


def _cell(line: NotesLine, place: int) -> str:
    return line.cells[place] if place < len(line.cells) else ""


def _mostly(cells: Sequence[str], is_it: Callable[[str], bool]) -> bool:
    some = [cell for cell in cells if cell]
    return bool(some) and sum(is_it(cell) for cell in some) >= 0.8 * len(some)


def _is_date(cell: str) -> bool:
    try:
        date_of(cell, DateOrder.DAY_FIRST)
    except Unreadable:
        try:
            date_of(cell, DateOrder.MONTH_FIRST)
        except Unreadable:
            return False
    return True


def _is_clock_only(cell: str) -> bool:
    """Tell whether a text is a time of the evening rather than a length: 19:10."""
    try:
        return ":" in cell and clock_of(cell) >= 6 * 3600
    except Unreadable:
        return False


def _is_length(cell: str) -> bool:
    try:
        return not cell.isdigit() and length_of(cell) > 0
    except Unreadable:
        return _is_span(cell)


def _is_span(cell: str) -> bool:
    try:
        typed_span(cell)
    except Unreadable:
        return False
    return True


def _is_name(cell: str) -> bool:
    return any(sign.isalpha() for sign in cell) and len(cell) <= 40


_TESTS = (
    (What.DATE, _is_date),
    (What.START, _is_clock_only),
    (What.END, _is_clock_only),
    (What.LENGTH, _is_length),
    (What.STAGE, _is_name),
)
_TIMES = (What.START, What.END)
