"""The record as a spreadsheet: a workbook of all sheets, or the intervals as CSV or JSON."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import TypeVar
from zoneinfo import ZoneInfo

from shopclock.exchange.workbook.beside import written_beside
from shopclock.exchange.workbook.csv_file import write_csv
from shopclock.exchange.workbook.front_facts import FrontFacts
from shopclock.exchange.workbook.json_file import write_json
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.exchange.workbook.sheets import (
    BATCHES,
    INTERVALS,
    PIECES,
    READINGS,
    STAGES,
    BatchLine,
    StageLine,
    batch_lines,
)
from shopclock.exchange.workbook.xlsx_file import Workbook
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.record.read.rows import IntervalRow, PieceRow, ReadingRow
from shopclock.shop.setup.rates import rates
from shopclock.shop.state import settings
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.entities import Batch
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import UNWATCHED
from shopclock.shop.values.progress import Progress as Watching

R = TypeVar("R")
Progress = Callable[[int], None]
"""Told how many rows are written; what it raises stops the export, and no file is left."""

WRITING = "Writing the spreadsheet"
AT_A_TIME = 500


def export_record(
    reading: ReadOnlyRecord, path: Path, zone: ZoneInfo, options: ExportOptions, progress: Progress | None = None
) -> None:
    """Write the record to a .xlsx, .csv or .json file; the old file stays until the new one is whole.

    Instants are shown in `zone` and in UTC. ShopError says why it can't be done.
    """
    write = _writer(path)
    if path.exists() and path.samefile(reading.path):
        raise ShopError(f"{path} is the record itself. Nothing was written. Name another file.")
    rows = _Rows(reading, options, progress)
    with written_beside(path) as part:
        write(part, rows, zone, options)


def export_file(record: Path, path: Path, options: ExportOptions, progress: Watching = UNWATCHED) -> None:
    """Write what stands on the disk; a screen runs this in a process of its own."""
    with ReadOnlyRecord.open(record) as reading:
        of = reading.reads.rows_in_all()

        def tell(rows: int) -> None:
            progress.at(rows, of, WRITING)

        export_record(reading, path, zone_of(reading.floor), options, tell)


class _Rows:
    """The rows of each sheet, told to `progress` as they pass."""

    def __init__(self, reading: ReadOnlyRecord, options: ExportOptions, progress: Progress | None) -> None:
        self.reading, self.options, self._progress = reading, options, progress
        self._batches = _whole_batches(reading, options)
        self._n = 0

    def intervals(self, passed: Callable[[IntervalRow], object] = lambda _: None) -> Iterator[IntervalRow]:
        """Those asked for; `passed` is told of all, for what an hour at the work has to carry."""
        for row in self.reading.reads.intervals():
            passed(row)
            if self.options.wants_from(row.batch_id, row.start_us):
                yield self._told(row)

    def batches(self) -> Iterator[tuple[BatchLine, ShopFloor]]:
        return (self._told(line) for line in batch_lines(self.reading, self._batches))

    def pieces(self) -> Iterator[PieceRow]:
        return (self._told(row) for row in self.reading.reads.pieces() if self._batches.wants(row.batch_id))

    def readings(self) -> Iterator[ReadingRow]:
        return (self._told(row) for row in self.reading.reads.readings() if self._batches.wants(row.batch_id))

    def heed(self) -> None:
        """While the sheets are packed into the file: say again how far it is, so that it can still be stopped."""
        if self._progress is not None:
            self._progress(self._n)

    def _told(self, row: R) -> R:
        self._n += 1
        if self._progress is not None and self._n % AT_A_TIME == 0:
            self._progress(self._n)
        return row


def _whole_batches(reading: ReadOnlyRecord, options: ExportOptions) -> ExportOptions:
    """Return the options for what is told of whole batches: those that were worked on in a span."""
    if options.span is None:
        return options
    worked = {number for number in reading.reads.worked_between(*options.span) if options.wants(number)}
    if not worked:
        raise ShopError(f"{_said_of(reading, options, zone_of(reading.floor))} has no work in it. Nothing was written.")
    return replace(options, batch_ids=frozenset(number for number in worked if number is not None))


def _writer(path: Path) -> Callable[[Path, _Rows, ZoneInfo, ExportOptions], None]:
    """Return what writes a file with this ending."""
    found = _WRITERS.get(path.suffix.lower())
    if found is None:
        raise ShopError(f"{path.name} ends in none of .xlsx, .csv and .json. Nothing was written. Name one of these.")
    return found


def _write_workbook(path: Path, rows: _Rows, zone: ZoneInfo, options: ExportOptions) -> None:
    from shopclock.analysis.money.earnings import YearHours
    from shopclock.exchange.workbook.cost_sheet import cost_line, costs_in
    from shopclock.exchange.workbook.front_sheet import Front

    facts, hours, floor = FrontFacts(), YearHours(options.now_us), rows.reading.floor
    with Workbook(path, zone, settings.value(floor, settings.PAPER), rows.heed) as book:
        front = Front(book, floor)
        book.write(INTERVALS, rows.intervals(hours.add))
        batches, stages, costs = book.page(BATCHES), book.page(STAGES), book.page(costs_in(rates(floor).currency))
        for line, own_floor in rows.batches():
            facts.every.append(line)
            batches.add(line)
            costs.add(cost_line(floor, line, own_floor, hours))
            for name, found in line.stages:
                stages.add(StageLine(line, name, found))
        batches.end()
        costs.end()
        stage_rows = stages.end()
        book.write(PIECES, rows.pieces())
        book.write(READINGS, rows.readings())
        front.fill(facts, contents_text(rows.reading, options, zone), stage_rows)


def contents_text(reading: ReadOnlyRecord, options: ExportOptions, zone: ZoneInfo) -> str:
    """Say what is in a file, and of when it is."""
    whole = " and its batches whole" if options.span is not None else ""
    at = shop_time(options.now_us, zone)
    return f"{_said_of(reading, options, zone)}{whole}. As of {at:%Y-%m-%d %H:%M}, {zone.key}."


def _said_of(reading: ReadOnlyRecord, options: ExportOptions, zone: ZoneInfo) -> str:
    """Say what was asked for: The whole shop; 26-09, work begun from 2026-01-01 to 2026-03-31."""
    named = options.batch_ids
    names = [reading.floor.get(Batch, number).name for number in sorted(named)] if named is not None else []
    what = ", ".join(dict.fromkeys(names)) or "The whole shop"
    if options.span is None:
        return what
    first, last = (shop_time(at_us, zone).date() for at_us in (options.span[0], options.span[1] - 1))
    since = f" from {first}" if options.span[0] else ""
    return f"{what}, work begun{since} to {last}"


def _write_intervals(path: Path, rows: _Rows, zone: ZoneInfo, options: ExportOptions) -> None:
    write_csv(path, INTERVALS, rows.intervals(), zone, options)


def _write_json(path: Path, rows: _Rows, zone: ZoneInfo, options: ExportOptions) -> None:
    write_json(path, INTERVALS, rows.intervals(), zone, options)


_WRITERS = {".xlsx": _write_workbook, ".csv": _write_intervals, ".json": _write_json}
