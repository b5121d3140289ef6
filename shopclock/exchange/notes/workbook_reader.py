"""Reads a workbook in a process of its own: what spoils it, or eats memory, takes nobody else with it.

    python -P workbook_reader.py ROWS COLUMNS MEMORY SECONDS SHEET < workbook > cells

Knows nothing of the program: a line of JSON a row, [number, cell, cell, …], all cells as texts that say the same
whatever the workbook's own formats are. Formulas give their values. The first line names the sheet that is read, "" for
the first, and all that have rows.
"""

import datetime as dt
import io
import json
import sys
from itertools import islice
from typing import TextIO

from python_calamine import CalamineSheet, CalamineWorkbook, SheetVisibleEnum

MOST_LETTERS = 40_000_000
"""Letters of all cells together: a text that stands once in the file may be that of every cell."""


def text_of(cell: object) -> str:
    """Return a cell as text: 2026-03-07, 19:10:00, 1:20:00, 80, 1.5."""
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() and abs(cell) < 1e15 else repr(cell)
    if isinstance(cell, dt.datetime):
        return cell.isoformat(" ") if cell.time() != dt.time() else cell.date().isoformat()
    if isinstance(cell, dt.timedelta):
        minutes, seconds = divmod(round(cell.total_seconds()), 60)
        return f"{minutes // 60}:{minutes % 60:02d}:{seconds:02d}"
    return str(cell)


def sheets_with_rows(book: CalamineWorkbook) -> dict[str, CalamineSheet]:
    """Return the sheets in sight that have two rows or more, by name."""
    names = [sheet.name for sheet in book.sheets_metadata if sheet.visible is SheetVisibleEnum.Visible]
    return {name: sheet for name in names if (sheet := book.get_sheet_by_name(name)).height >= 2}


def main(rows: int, columns: int, name: str) -> int:
    """Write the rows of the workbook that comes in to standard output."""
    out = io.TextIOWrapper(sys.stdout.buffer, encoding="utf-8", errors="replace", write_through=False)
    code = write_rows(sys.stdin.buffer.read(), out, rows, columns, name)
    out.flush()
    return code


def write_rows(data: bytes, out: TextIO, rows: int, columns: int, name: str = "") -> int:
    """Write the rows of a workbook; 3 where it has none, 4 where it has too many, 5 where they say too much."""
    sheets = sheets_with_rows(CalamineWorkbook.from_filelike(io.BytesIO(data)))
    if not sheets or name not in ("", *sheets):
        return 3
    sheet = sheets[name or next(iter(sheets))]
    last_row, last_column = sheet.end or (0, 0)
    if last_row >= rows or last_column >= columns:
        return 4
    out.write(json.dumps([sheet.name, *sheets]) + "\n")
    letters = 0
    for number, row in enumerate(islice(sheet.to_python(skip_empty_area=False), rows), start=1):
        cells = [text_of(cell) for cell in row]
        letters += sum(map(len, cells))
        if letters > MOST_LETTERS:
            return 5
        out.write(json.dumps([number, *cells]) + "\n")
    return 0


def hold(memory: int, seconds: int) -> None:
    """Let this process have no more memory and processor than that, where the system can say so."""
    try:
        import resource
    except ImportError:  # Windows has no such limits
        return
    resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))


def run(arguments: list[str]) -> int:
    """Read within the bounds that the arguments give; the exit code."""
    rows, columns, memory, seconds = map(int, arguments[:4])
    hold(memory, seconds)
    try:
        return main(rows, columns, arguments[4])
    except MemoryError:
        return 5


if __name__ == "__main__":
    sys.exit(run(sys.argv[1:]))
