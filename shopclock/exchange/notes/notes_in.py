"""Old notes on their way into the record: looked at and packed beside it, then taken by one press."""

from __future__ import annotations

import contextlib
import gc
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.exchange.notes.counts import Counts, counts
from shopclock.exchange.notes.notes import (
    NotesContext,
    bring,
    columns_of,
    drafted_notes,
    missing_in,
    name_of,
    refuse_known,
    table_in,
)
from shopclock.exchange.notes.rows import asks_order, asks_unit
from shopclock.exchange.notes.text import years_text
from shopclock.record.file.opening import file_for_parcel
from shopclock.record.read.parcel import pack
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.notes.entries import batches_by_name
from shopclock.shop.notes.import_basis import ImportBasis
from shopclock.shop.notes.notes_import import import_notes
from shopclock.shop.values.entities import ImportFile
from shopclock.shop.values.progress import UNWATCHED, Progress

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.exchange.notes.columns import Columns, What
    from shopclock.exchange.notes.file import NotesTable
    from shopclock.exchange.notes.match import Match
    from shopclock.exchange.notes.notes import NotesAnswers, NotesDraft
    from shopclock.exchange.notes.rows import Trouble
    from shopclock.record.press.record import Record
    from shopclock.record.read.parcel import Parcel
    from shopclock.shop.notes.notes_import import Notes
    from shopclock.shop.state.transaction import Transaction

UNDO = "Old notes"
"""What the press is called on the Undo button."""
PACKING = "Working out the notes"
SHOWN_ROWS = 6
SHOWN_TROUBLES = 300
SHOWN_BATCHES = 60


@dataclass(frozen=True, slots=True)
class NotesPreview:
    """Preview of a file of notes before it is brought in: small, whatever the file holds.

    `dates` and `numbers` are examples of what has to be asked, `missing` columns that have to be there; only
    without any of these there are `counts`, and a parcel where there is anything to bring in. `batches` are the last.
    `sheets` are those of a workbook with what each is known by, `years` says where years are from that no row says.
    """

    name: str
    sha256: str
    columns: Columns
    rows: tuple[tuple[str, ...], ...]
    dates: str | None = None
    numbers: str | None = None
    missing: tuple[str, ...] = ()
    lacks: frozenset[What] = frozenset()
    stages: tuple[Match, ...] = ()
    troubles: tuple[Trouble, ...] = ()
    batches: tuple[str, ...] = ()
    counts: Counts | None = None
    years: str = ""
    sheet: str = ""
    sheets: tuple[tuple[str, str], ...] = ()
    parcel: Parcel | None = None


def preview(
    record: Path, file: Path, said: NotesAnswers, here: NotesContext, progress: Progress = UNWATCHED
) -> NotesPreview:
    """Read a file and work out all that bringing it in needs. ShopError says why it can't be; nothing is changed."""
    with _no_looking_for_rings():
        return _looked(record, file, said, here, progress)


@contextlib.contextmanager
def _no_looking_for_rings() -> Iterator[None]:
    """Hardly anything that is made here goes again: looking for rings of objects would be a fifth of the work."""
    looked = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if looked:
            gc.enable()


def _looked(record: Path, file: Path, said: NotesAnswers, here: NotesContext, progress: Progress) -> NotesPreview:
    with ReadOnlyRecord.open(record) as reading:
        table = table_in(reading.floor, file, said)
        columns = columns_of(table, said)
        refuse_known(reading.floor, table)
        seen = _asked_of(table, columns, said)
        if seen.missing or seen.dates or seen.numbers:
            return seen
        return _worked_out(reading, table, said, here, progress)


def _asked_of(table: NotesTable, columns: Columns, said: NotesAnswers) -> NotesPreview:
    """Return the first rows, and what has to be asked."""
    return NotesPreview(
        name_of(table),
        table.sha256,
        columns,
        _first_rows(table, columns),
        sheet=table.sheet,
        sheets=table.sheets,
        dates=asks_order(table, columns) if said.asked.order is None else None,
        numbers=asks_unit(table, columns) if said.asked.unit is None else None,
        missing=tuple(missing_in(columns)),
    )


def _first_rows(table: NotesTable, columns: Columns) -> tuple[tuple[str, ...], ...]:
    return tuple(line.cells for line in table.lines[columns.first_line : columns.first_line + SHOWN_ROWS])


def _worked_out(
    reading: ReadOnlyRecord, table: NotesTable, said: NotesAnswers, here: NotesContext, progress: Progress
) -> NotesPreview:
    columns = columns_of(table, said)
    drafted = drafted_notes(reading, table, columns, said, here, progress)
    progress.at(0, 0, PACKING)
    told = counts(reading.floor, drafted)
    notes = drafted.notes
    return NotesPreview(
        name_of(table),
        table.sha256,
        columns,
        _first_rows(table, columns),
        sheet=table.sheet,
        sheets=table.sheets,
        lacks=drafted.lacks,
        stages=drafted.stages,
        troubles=drafted.troubles[:SHOWN_TROUBLES],
        batches=tuple(dict.fromkeys(one.entry.batch for one in notes.placed if one.entry.batch))[-SHOWN_BATCHES:],
        counts=told,
        years=years_text(drafted.yearless, drafted.year_from),
        parcel=packed(reading, notes, here, progress) if notes.placed else None,
    )


def packed(reading: ReadOnlyRecord, notes: Notes, here: NotesContext, progress: Progress = UNWATCHED) -> Parcel:
    """Make the parcel of notes, in the file that a record has for it."""

    def rule(tx: Transaction) -> ImportBasis:
        progress.at(0, 0, PACKING)
        gone_on = bring(reading, (one.entry for one in notes.placed))
        steps = frozenset(step.id for batch_id in gone_on for step in reading.floor.steps(batch_id))
        names = frozenset({*batches_by_name(reading.floor), *(one.entry.batch.casefold() for one in notes.placed)})
        since_us = min((one.start_us for one in notes.placed), default=here.now_us)
        import_notes(tx, notes, progress)
        progress.at(0, 0, PACKING)
        return ImportBasis(since_us, here.now_us, gone_on, steps, names)

    return pack(reading, file_for_parcel(reading.path), rule, here.now_us, here.maker_id, progress)


def here_in(record: Record) -> NotesContext:
    """Return now and the maker of an open record."""
    return NotesContext(record.instant(), record.maker.id)


def take_in(record: Record, drafted: NotesDraft) -> ImportFile:
    """Bring in what was drafted, in one press that one Undo takes back; without a window."""
    with ReadOnlyRecord.open(record.path) as reading:
        parcel = packed(reading, drafted.notes, here_in(record))
    record.take(parcel, UNDO)
    return next(file for file in record.floor.all(ImportFile) if file.sha256 == drafted.notes.sha256)
