"""The rows of old notes as entries: what each says, and the rows that can't be taken, with column and why."""

import datetime as dt
import hashlib
import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import TypeVar
from zoneinfo import ZoneInfo

from shopclock.exchange.notes.columns import Columns, What
from shopclock.exchange.notes.file import NotesLine, NotesTable
from shopclock.exchange.notes.language import SAME_AGAIN
from shopclock.exchange.notes.time import (
    TO,
    DateOrder,
    LengthUnit,
    Unreadable,
    WrittenDay,
    clock_of,
    date_of,
    exact,
    is_guess,
    length_of,
    order_of,
    typed_span,
    unclear_number,
    unit_of,
    written_day,
)
from shopclock.exchange.notes.time import asks_order as unclear
from shopclock.exchange.notes.years import YearFrom, with_years, year_in
from shopclock.exchange.workbook.safe_text import clean
from shopclock.shop.notes.entries import NotesEntry
from shopclock.shop.values.names import LONGEST, columns
from shopclock.shop.values.progress import UNWATCHED, Progress
from shopclock.shop.work.batches import MOST_PIECES

T = TypeVar("T")
READING = "Reading the notes"
TOLD_EVERY = 100
"""Rows between two words on how far it is: over the line from another process each takes as long as reading one."""
SECOND_US = 1_000_000
DAY_S = 24 * 3600
LONGEST_S = 31 * DAY_S
_COUNT = re.compile(r"(\d{1,3})(?:\.0+)?(?: ?[^\W\d_]{1,12}\.?)?")
_ALL = tuple(What)
_AGAIN = frozenset(What) - {What.NOTE}
"""A ditto mark in these says the same as the cell above; in a note it is part of it."""
_DOWN = (What.DATE, What.BATCH, What.PATTERN)
"""Often written once and left empty below, or merged: an empty cell says the same as the one above."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """A row that can't be taken: its number, the head of the column, and why; `cell`, at `place`, can be put right.

    `says` is what the row says, in words.
    """

    row: int
    column: str
    why: str
    place: int | None = None
    cell: str = ""
    says: str = ""


@dataclass(frozen=True, slots=True)
class Rows:
    """All that a table says: entries in the order of its rows, and the rows that can't be taken.

    `yearless` days say no year; theirs is from `year_from`.
    """

    entries: tuple[NotesEntry, ...]
    troubles: tuple[Trouble, ...]
    yearless: int = 0
    year_from: YearFrom = YearFrom.ROWS


@dataclass(frozen=True, slots=True)
class RowQuestions:
    """Questions about a table that only the maker can answer: 7/3/26, bare numbers; nothing where the table tells."""

    order: DateOrder | None = None
    unit: LengthUnit | None = None


class _Wrong(Exception):
    """Fault of a row, and what of it is wrong."""

    def __init__(self, what: What, why: str) -> None:
        super().__init__(why)
        self.what = what
        self.why = why


@dataclass(slots=True)
class _Reader:
    """Reads rows one after the other; `cells` is what the row says.

    `above` holds what an empty cell repeats, `last` what a ditto mark does; `years` those of rows that say none.
    """

    columns: Columns
    order: DateOrder | None
    unit: LengthUnit
    zone: ZoneInfo
    now_us: int
    years: Mapping[int, int] = field(default_factory=dict)
    above: dict[What, str] = field(default_factory=dict)
    last: dict[What, str] = field(default_factory=dict)
    seen: Counter[str] = field(default_factory=Counter)
    cells: dict[What, str] = field(default_factory=dict)
    row: int = 0

    def entry(self, line: NotesLine) -> NotesEntry:
        """Return what a row says; _Wrong where it can't be taken."""
        self._read_cells(line)
        day = self._date()
        start_us, end_us, length_us = self._times(day)
        batch, pattern, stage, method = map(self._name, (What.BATCH, What.PATTERN, What.STAGE, What.METHOD))
        if not stage:
            raise self._wrong(What.STAGE, "", "is empty")
        return NotesEntry(
            row=line.number,
            known_by=self._print(),
            day_us=self._us(day, 0),
            next_day_us=self._us(day + dt.timedelta(days=1), 0),
            start_us=start_us,
            end_us=end_us,
            length_us=length_us,
            batch=batch,
            pattern=pattern,
            stage=stage,
            method=method,
            pieces=self._pieces(),
            guessed=is_guess(self.cells[What.LENGTH]),
            note=clean(self.cells[What.NOTE])[:500],
        )

    def _read_cells(self, line: NotesLine) -> None:
        """Note what a row says, itself or by the row above: another batch says its own pattern."""
        self.row = line.number
        places, cells, wide = self.columns.places, line.cells, len(line.cells)
        self.cells = {what: cells[n] if (n := places.get(what, wide)) < wide else "" for what in _ALL}
        for what, text in self.cells.items():
            if text.casefold() in SAME_AGAIN and what in _AGAIN:
                self.cells[what] = self.last.get(what, "")
        self.last = dict(self.cells)
        said = {what: text for what in _DOWN if (text := self.cells[what])}
        if said.get(What.BATCH, self.above.get(What.BATCH)) != self.above.get(What.BATCH):
            self.above.pop(What.PATTERN, None)
        self.above.update(said)
        self.cells |= self.above

    def _wrong(self, what: What, text: str, why: str) -> _Wrong:
        return _Wrong(what, f"{text[:40]} {why}".strip())

    def _date(self) -> dt.date:
        text = self.cells[What.DATE]
        try:
            found = date_of(text, self.order, self.years.get(self.row))
        except Unreadable as error:
            raise self._wrong(What.DATE, text, str(error) if text else "is empty") from error
        if self._us(found, 0) > self.now_us:
            raise self._wrong(What.DATE, text, "is later than now")
        return found

    def _times(self, day: dt.date) -> tuple[int | None, int | None, int]:
        """Return start and end, where they are said, and the length."""
        start_s, end_s = self._clocks()
        if start_s is None:
            return None, None, self._length_us()
        start_us = self._us(day, start_s)
        end_us = start_us + self._length_us() if end_s is None else self._us(day, end_s)
        if end_us <= start_us:
            raise self._wrong(What.START, self.cells[What.START], "ends before it starts, by the change of clocks")
        if end_us > self.now_us:
            raise self._wrong(What.END if What.END in self.columns.places else What.START, "", "is later than now")
        return start_us, end_us, end_us - start_us

    def _clocks(self) -> tuple[int | None, int | None]:
        """Return the times of day of a row: from and to, from alone, both out of one cell, or none."""
        start, end, length = (self.cells[what] for what in (What.START, What.END, What.LENGTH))
        if start and not length and _is_spelt_length(start):  # the one time when nobody looked at the clock
            self.cells[What.LENGTH], self.cells[What.START] = start, ""
            return None, None
        for what, text in ((What.LENGTH, length), (What.START, start)):
            if TO.search(text[1:].casefold()):
                span = self._read(what, text, typed_span)
                return span.start_s, span.end_s
        if not start:
            if end and not length:
                raise self._wrong(What.START, "", "is empty")
            return None, None
        start_s = self._read(What.START, start, clock_of)
        end_s = self._read(What.END, end, clock_of) if end else None
        if end_s == start_s:
            raise self._wrong(What.END, end, "is when it starts")
        return start_s, end_s + DAY_S if end_s is not None and end_s < start_s else end_s

    def _read(self, what: What, text: str, read: Callable[[str], T]) -> T:
        try:
            return read(text)
        except Unreadable as error:
            raise self._wrong(what, text, str(error)) from error

    def _length_us(self) -> int:
        text = self.cells[What.LENGTH]
        if not text:
            raise self._wrong(What.LENGTH, "", "is empty, and so is the time of day")
        found = self._read(What.LENGTH, text, lambda said: length_of(said, self.unit))
        if found > LONGEST_S:
            raise self._wrong(What.LENGTH, text, "is longer than a month")
        return round(found * SECOND_US)

    def _name(self, what: What) -> str:
        text = self.cells[what]
        if columns(text) > LONGEST:
            raise self._wrong(what, text, f"is longer than {LONGEST} letters")
        return clean(text)

    def _pieces(self) -> int | None:
        text = self.cells[What.PIECES]
        if not text:
            return None
        match = _COUNT.fullmatch(text)
        if match is None or not 1 <= int(match[1]) <= MOST_PIECES:
            raise self._wrong(What.PIECES, text, f"is no number from 1 to {MOST_PIECES}")
        return int(match[1])

    def _us(self, day: dt.date, seconds: float) -> int:
        return _instant(day, seconds, self.zone)

    def _print(self) -> str:
        """Return what the row's text is known by; of rows that say the same each has its own."""
        said = "\x1f".join(self.cells.values())
        self.seen[said] += 1
        return hashlib.sha256(f"{said}\x1f{self.seen[said]}".encode("utf-8", "replace")).hexdigest()[:32]


def _is_spelt_length(text: str) -> bool:
    """Tell whether a text is a length with its unit, no time of day: 1.6 hrs."""
    try:
        clock_of(text)
    except Unreadable:
        return not TO.search(text[1:].casefold()) and any(sign.isalpha() for sign in exact(text)) and _is_length(text)
    return False


def _is_length(text: str) -> bool:
    try:
        return length_of(text) > 0
    except Unreadable:
        return False


@lru_cache(maxsize=4096)
def _instant(day: dt.date, seconds: float, zone: ZoneInfo) -> int:
    """Return the instant when the shop's clock shows so many seconds of a day."""
    local = dt.datetime.combine(day, dt.time()) + dt.timedelta(seconds=seconds)
    return round(local.replace(tzinfo=zone).timestamp()) * SECOND_US


def read_rows(
    table: NotesTable,
    columns: Columns,
    zone: ZoneInfo,
    now_us: int,
    asked: RowQuestions | None = None,
    progress: Progress = UNWATCHED,
) -> Rows:
    """Return what a table says, by the shop's clock; `asked` is what its maker said of it."""
    asked = asked or RowQuestions()
    lines = table.lines[columns.first_line :]
    order = asked.order or order_of(_cells(columns, lines, What.DATE))
    years, year_from = _years(table, columns, order, dt.datetime.fromtimestamp(now_us / SECOND_US, zone).date())
    reader = _Reader(columns, order, asked.unit or _unit(columns, lines), zone, now_us, years)
    entries: list[NotesEntry] = []
    troubles: list[Trouble] = []
    for done, line in enumerate(lines):
        if done % TOLD_EVERY == 0:
            progress.at(done, len(lines), READING)
        try:
            entries.append(reader.entry(line))
        except _Wrong as error:
            troubles.append(trouble(columns, line, error.what, error.why))
    return Rows(tuple(entries), tuple(troubles), len(years), year_from)


def trouble(columns: Columns, line: NotesLine, what: What, why: str) -> Trouble:
    """Return why a row can't be taken, with the cell that says it."""
    place = columns.places.get(what)
    cell = line.cells[place] if place is not None and place < len(line.cells) else ""
    return Trouble(line.number, columns.head(what) if place is not None else what.value, why, place, cell, _says(line))


def _says(line: NotesLine) -> str:
    return ", ".join(cell[:20] for cell in line.cells if cell)[:80]


def _years(
    table: NotesTable, columns: Columns, order: DateOrder | None, today: dt.date
) -> tuple[dict[int, int], YearFrom]:
    """Return the years of the rows whose day says none, by their numbers, and where they are from."""
    lines, place = table.lines[columns.first_line :], columns.places.get(What.DATE)
    above = ""
    written: list[WrittenDay | None] = []
    for line in lines:
        text = line.cells[place] if place is not None and place < len(line.cells) else ""
        if text and text.casefold() not in SAME_AGAIN:
            above = text
        written.append(_written(above, order) if above else None)
    heads = [cell for line in table.lines[: columns.first_line] for cell in line.cells]
    years, year_from = with_years(written, today, year_in([table.sheet, *heads, table.name], today))
    found = {
        line.number: year
        for line, one, year in zip(lines, written, years, strict=True)
        if one is not None and one.year is None and year is not None
    }
    return found, year_from


def _written(text: str, order: DateOrder | None) -> WrittenDay | None:
    try:
        return written_day(text, order)
    except Unreadable:
        return None


def put_right(table: NotesTable, cells: Mapping[tuple[int, int], str]) -> NotesTable:
    """Return a table with the cells that the maker put right, by number of the row and place of the column."""
    if not cells:
        return table
    rows: dict[int, dict[int, str]] = {}
    for (row, place), text in cells.items():
        rows.setdefault(row, {})[place] = text
    lines = (_line_put_right(line, rows[line.number]) if line.number in rows else line for line in table.lines)
    return replace(table, lines=tuple(lines))


def _line_put_right(line: NotesLine, said: Mapping[int, str]) -> NotesLine:
    width = max(len(line.cells), *(place + 1 for place in said))
    cells = [said.get(n, line.cells[n] if n < len(line.cells) else "") for n in range(width)]
    return NotesLine(line.number, tuple(cells))


def asks_order(table: NotesTable, columns: Columns) -> str | None:
    """Return a date that may be day or month first where none of the column tells; else nothing."""
    return unclear(_cells(columns, table.lines[columns.first_line :], What.DATE))


def asks_unit(table: NotesTable, columns: Columns) -> str | None:
    """Return a bare number of the lengths where neither their head nor the way they are written tells its unit."""
    if What.LENGTH not in columns.places:
        return None
    return unclear_number(columns.head(What.LENGTH), _cells(columns, table.lines[columns.first_line :], What.LENGTH))


def _unit(columns: Columns, lines: Sequence[NotesLine]) -> LengthUnit:
    if What.LENGTH not in columns.places:
        return LengthUnit.MINUTES
    return unit_of(columns.head(What.LENGTH), _cells(columns, lines, What.LENGTH))


def _cells(columns: Columns, lines: Sequence[NotesLine], what: What) -> list[str]:
    place = columns.places.get(what)
    return [] if place is None else [line.cells[place] for line in lines if place < len(line.cells)]
