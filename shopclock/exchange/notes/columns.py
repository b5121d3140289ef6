"""Columns of old notes and what each is: guessed from its head, else from what stands in it."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from shopclock.exchange.notes.file import NotesLine, NotesTable
from shopclock.exchange.notes.language import SAME_AGAIN, plain
from shopclock.exchange.notes.time import Unreadable, clock_of, length_of, looks_like_a_day, typed_span


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
    What.DATE: "date day when datum tag wann fecha dia jour data giorno",
    What.START: "start started from begin began beginning anfang beginn von ab debut inicio desde inizio",
    What.END: "end ended to until till stop stopped finish ende bis fin hasta fine",
    What.LENGTH: "length duration time minutes min mins hours hrs hr h spent took worked long dauer zeit std stunden "
    "minuten lang duree temps heures duracion tiempo horas minutos durata ore minuti",
    What.BATCH: "batch lot run series serie charge los posten serien lote lotto",
    What.PATTERN: "pattern design model type knife blade product modell muster messer modele couteau modelo cuchillo "
    "modello coltello",
    What.STAGE: "stage step work task job operation what did doing activity arbeit schritt arbeitsschritt arbeitsgang "
    "tatigkeit was gemacht etape travail operation etapa trabajo tarea operacion paso fase lavoro",
    What.PIECES: "pieces piece pcs qty quantity count number no many blades knives n anzahl stuck stk menge klingen "
    "viele nombre quantite combien piezas cantidad cuantos pezzi",
    What.METHOD: "method how way machine methode art verfahren wie womit moyen metodo modo",
    What.NOTE: "note notes remark remarks comment comments notiz notizen bemerkung bemerkungen anmerkung remarque "
    "remarques notas observaciones commenti",
}
HEADS: Mapping[What, frozenset[str]] = {what: frozenset(words.split()) for what, words in _WORDS.items()}
"""Plain words of heads, the earlier meaning first where a head has words of several; common practice, no source."""
_HOW = ("how", "wie")
"""How long, how many: what stands after it says what is meant."""
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
    places = _by_heads(heads, rows)
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
        if len(_by_heads(line.cells)) >= 2 and not any(looks_like_a_day(cell) for cell in line.cells):
            return at
    return None


def _by_heads(heads: Sequence[str], rows: Sequence[NotesLine] = ()) -> dict[What, int]:
    """Return what the heads say, unless what stands under one is something else."""
    found: dict[What, int] = {}
    for place, head in enumerate(heads):
        cells = [cell for row in rows if (cell := _cell(row, place)) and cell.casefold() not in SAME_AGAIN]
        for what in _meanings(head):
            if what not in found and (not cells or _may_be(what, cells)):
                found[what] = place
                break
    return found


def _meanings(head: str) -> list[What]:
    """Return what a head may mean, the likeliest first."""
    words = list(map(plain, re.findall(r"[^\W\d_]+", head))) if len(head) <= 40 else []
    if len(words) > 1 and words[0] in _HOW:
        words = words[1:]
    return [what for what, known in HEADS.items() if not known.isdisjoint(words)]


def _may_be(what: What, cells: Sequence[str]) -> bool:
    """Tell whether a column can be what its head says: a few cells say nothing against it, many of another form do."""
    if what in _FORMS:
        return len(cells) < 3 or _mostly(cells, _FORMS[what], 0.2)
    return what in (What.NOTE, What.BATCH) or not _mostly(cells, _is_time, 0.5)


def _by_contents(places: dict[What, int], rows: Sequence[NotesLine]) -> dict[What, int]:
    """Add what the contents of the columns left over say."""
    width = max((len(row.cells) for row in rows), default=0)
    for place in range(width):
        if place in places.values():
            continue
        cells = [cell for row in rows if (cell := _cell(row, place)) and cell.casefold() not in SAME_AGAIN]
        meant = next((what for what, is_it in _TESTS if what not in places and cells and _mostly(cells, is_it)), None)
        if meant is not None and not (meant in _TIMES and What.LENGTH in places and What.START in places):
            places[meant] = place
    return places


def _cell(line: NotesLine, place: int) -> str:
    return line.cells[place] if place < len(line.cells) else ""


def _mostly(cells: Sequence[str], is_it: Callable[[str], bool], share: float = 0.8) -> bool:
    some = [cell for cell in cells if cell]
    return bool(some) and sum(is_it(cell) for cell in some) >= share * len(some)


def _is_day(cell: str) -> bool:
    """Tell whether a text under the head of a day is one: 15.1 too."""
    return looks_like_a_day(cell) or looks_like_a_day(f"{cell}.")


def _is_clock(cell: str) -> bool:
    try:
        clock_of(cell)
    except Unreadable:
        return _is_span(cell)
    return True


def _is_any_length(cell: str) -> bool:
    """Tell whether a text under the head of a length is one: a bare number, or from and to, too."""
    try:
        length_of(cell)
    except Unreadable:
        return _is_span(cell)
    return True


def _is_count(cell: str) -> bool:
    return re.fullmatch(r"\d{1,3}(?:\.0+)?(?: ?[^\W\d_]{1,12}\.?)?", cell) is not None and not _is_length(cell)


def _is_time(cell: str) -> bool:
    return looks_like_a_day(cell) or _is_length(cell)


def _is_label(cell: str) -> bool:
    """Tell whether a text is a name that is counted on: L1, 26-03, Serie 4, no. 12."""
    return re.search(r"\d", cell) is not None and len(cell) <= 16 and not _is_time(cell) and not cell.isdigit()


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


_FORMS = {
    What.DATE: _is_day,
    What.START: _is_clock,
    What.END: _is_clock,
    What.LENGTH: _is_any_length,
    What.PIECES: _is_count,
}
_TESTS = (
    (What.DATE, looks_like_a_day),
    (What.START, _is_clock_only),
    (What.END, _is_clock_only),
    (What.LENGTH, _is_length),
    (What.BATCH, _is_label),
    (What.STAGE, _is_name),
    (What.PIECES, _is_count),
)
_TIMES = (What.START, What.END)
