"""The record as a spreadsheet: a workbook of all sheets, or the intervals as CSV."""

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TypeVar
from zoneinfo import ZoneInfo

from shopclock.exchange.beside import written_beside
from shopclock.exchange.csv_file import write_csv
from shopclock.exchange.figure_sheets import STAGES, StageLine, batch_lines, stage_lines
from shopclock.exchange.interval_sheet import INTERVALS
from shopclock.exchange.options import Options
from shopclock.exchange.piece_sheet import PIECES
from shopclock.exchange.reading_sheet import READINGS
from shopclock.exchange.xlsx_file import Workbook
from shopclock.record.reading import Reading
from shopclock.record.reading_rows import ReadingRow
from shopclock.record.reads import IntervalRow, PieceRow
from shopclock.shop.errors import ShopError
from shopclock.shop.wording import zone_of

R = TypeVar("R")
Progress = Callable[[int], None]
"""Told how many rows are written; what it raises stops the export, and no file is left."""

AT_A_TIME = 500


def export_record(
    reading: Reading, path: Path, zone: ZoneInfo, options: Options, progress: Progress | None = None
) -> None:
    """Write the record to a .xlsx or .csv file; the old file stays until the new one is whole.

    Instants are shown in `zone` and in UTC. ShopError says why it can't be done.
    """
    write = _writer(path)
    if path.exists() and path.samefile(reading.path):
        raise ShopError(f"{path} is the record itself. Nothing was written. Name another file.")
    rows = _Rows(reading, options, progress)
    with written_beside(path) as part:
        write(part, rows, zone, options)


def export_file(record: Path, path: Path, now_us: int) -> None:
    """Write the whole shop as it stands on the disk; a screen runs this in a process of its own."""
    with Reading.open(record) as reading:
        export_record(reading, path, zone_of(reading.floor), Options(now_us=now_us))


class _Rows:
    """The rows of each sheet, told to `progress` as they pass."""

    def __init__(self, reading: Reading, options: Options, progress: Progress | None) -> None:
        self._reading, self._options, self._progress = reading, options, progress
        self._n = 0

    def intervals(self) -> Iterator[IntervalRow]:
        rows = self._reading.reads.intervals()
        return self._told(row for row in rows if self._options.wants(row.batch_id))

    def pieces(self) -> Iterator[PieceRow]:
        rows = self._reading.reads.pieces()
        return self._told(row for row in rows if self._options.wants(row.batch_id))

    def readings(self) -> Iterator[ReadingRow]:
        rows = self._reading.reads.readings()
        return self._told(row for row in rows if self._options.wants(row.batch_id))

    def stages(self) -> Iterator[StageLine]:
        return self._told(stage_lines(batch_lines(self._reading, self._options)))

    def _told(self, rows: Iterable[R]) -> Iterator[R]:
        for row in rows:
            self._n += 1
            if self._progress is not None and self._n % AT_A_TIME == 0:
                self._progress(self._n)
            yield row


def _writer(path: Path) -> Callable[[Path, _Rows, ZoneInfo, Options], None]:
    """Return what writes a file with this ending."""
    found = _WRITERS.get(path.suffix.lower())
    if found is None:
        raise ShopError(f"{path.name} ends in neither .xlsx nor .csv. Nothing was written. Name one of these.")
    return found


def _write_workbook(path: Path, rows: _Rows, zone: ZoneInfo, options: Options) -> None:  # noqa: ARG001  # called as the other is
    with Workbook(path, zone) as book:
        book.write(INTERVALS, rows.intervals())
        book.write(STAGES, rows.stages())
        book.write(PIECES, rows.pieces())
        book.write(READINGS, rows.readings())


def _write_intervals(path: Path, rows: _Rows, zone: ZoneInfo, options: Options) -> None:
    write_csv(path, INTERVALS, rows.intervals(), zone, options)


_WRITERS = {".xlsx": _write_workbook, ".csv": _write_intervals}
