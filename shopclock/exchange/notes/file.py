"""Reading the table in a file of old notes: CSV in any usual writing, XLSX, ODS; bounded in size, memory and time.

All cells are texts. What is no table is refused with a sentence; nothing is ever written.
"""

import csv
import hashlib
import io
import json
import subprocess
import sys
from codecs import getincrementaldecoder
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from shopclock.exchange.notes import limits
from shopclock.exchange.notes.limits import CellCount, NoTable
from shopclock.exchange.notes.workbook_scan import scan
from shopclock.places import READS_WORKBOOK
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.plain_file import read_plain

MEMORY = 450_000_000
PROCESSOR_S = 20
LONGEST_S = 60
"""What a process that reads a workbook may have once it was looked through: the largest that is taken needs a third."""
SEPARATORS = ",;\t|"
SAMPLE = 80_000
"""Bytes by which the separator is told."""
AT_ONCE = 1 << 20
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"
_BOMS = (
    (b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe\x00\x00", "utf-32"), (b"\x00\x00\xfe\xff", "utf-32"),
    (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class NotesLine:
    """A row of a table: its number as the spreadsheet shows it, and its cells."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NotesTable:
    """Table in a file: its name, what it is known by (SHA-256), and the rows that say something.

    In a workbook it is one of `sheets`, each known by the bytes of the file, and by its name too but for the first.
    """

    name: str
    sha256: str
    lines: tuple[NotesLine, ...]
    sheet: str = ""
    sheets: tuple[tuple[str, str], ...] = ()


def read_table(file: Path, sheet: str = "") -> NotesTable:
    """Return the table in a file, on its first sheet with rows if none is named. ShopError says why there is none."""
    try:
        return table_of(file.name, read_plain(file, limits.LARGEST), sheet)
    except OSError as error:
        raise ShopError(f"{file} can't be read: {error.strerror or error}. Nothing was changed.") from error


def known_by(data: bytes, sheet: str = "", *, first: bool = True) -> str:
    """Return what a table is known by."""
    return hashlib.sha256(data if first else data + f"\0{sheet}".encode()).hexdigest()


def table_of(name: str, data: bytes, wanted: str = "") -> NotesTable:
    """Return the table in the bytes of a file; its kind is told by them, not by its name."""
    try:
        sheets, lines = _sheet(data, wanted) if data.startswith(b"PK") else ([""], _csv(data))
    except NoTable as error:
        raise ShopError(f"{name} can't be taken: {error}. Nothing was changed.") from error
    kept = tuple(line for line in lines if any(line.cells))
    if not kept:
        raise ShopError(f"{name} can't be taken: there is nothing in it. Nothing was changed.")
    sheet, *named = sheets
    known = {one: known_by(data, one, first=one == named[0]) for one in named}
    return NotesTable(name, known.get(sheet) or known_by(data), kept, sheet, tuple(known.items()))


def _csv(data: bytes) -> list[NotesLine]:
    encoding = _encoding(data)
    sample = data[:SAMPLE].decode(encoding, "replace")
    text = io.TextIOWrapper(io.BytesIO(data), encoding, newline="")
    reader = csv.reader(_bounded(text), delimiter=separator_of(sample), skipinitialspace=True)
    reached, lines = CellCount(), []
    try:
        for number, row in enumerate(reader, start=1):
            reached.reach(number, len(row))
            lines.append(_line(number, row))
    except csv.Error as error:
        raise NoTable("its fields don't end where they should; save it anew from a spreadsheet program") from error
    return lines


def _bounded(text: io.TextIOWrapper) -> Iterator[str]:
    """Yield the lines of a text, none longer than is to be held for one."""
    while line := text.readline(limits.LONGEST_LINE + 1):
        if len(line) > limits.LONGEST_LINE:
            raise NoTable(f"a line of it is longer than {limits.LONGEST_LINE:,} letters; it is no table")
        yield line


def _line(number: int, row: list[str]) -> NotesLine:
    """Make a row of its cells, told to be too long before anything is done with one."""
    if any(len(cell) > limits.LONGEST_CELL for cell in row):
        raise limits.too_long_cell()
    return NotesLine(number, tuple([" ".join(cell.split()) for cell in row]))


def _encoding(data: bytes) -> str:
    """Return how text is written: as its mark says, else UTF-8, else Windows' western one."""
    if data.startswith(_OLD_WORKBOOK):
        raise NoTable("it is an old .xls; save it as .xlsx, .ods or .csv")
    marked = next((name for mark, name in _BOMS if data.startswith(mark)), None)
    if marked is None and b"\0" in data:
        raise NoTable("it is no text and no workbook; save it as .xlsx, .ods or .csv")
    for encoding in (marked,) if marked else ("utf-8", "cp1252", "latin-1"):
        if _is_written_in(encoding, data):
            return encoding
    raise NoTable("it isn't written as its first bytes say; save it anew as UTF-8")


def _is_written_in(encoding: str, data: bytes) -> bool:
    """Tell whether bytes are text of an encoding, a piece at a time: as text they take up to four times the room."""
    decoder = getincrementaldecoder(encoding)()
    try:
        for at in range(0, len(data), AT_ONCE):
            decoder.decode(data[at : at + AT_ONCE])
        decoder.decode(b"", final=True)
    except UnicodeDecodeError:
        return False
    return True


def separator_of(text: str) -> str:
    """Return what stands between the fields: what cuts the first rows into the most fields of one number."""
    sample = "\n".join(text[:20_000].splitlines()[:40])

    def score(separator: str) -> tuple[int, int]:
        try:
            widths = Counter(len(row) for row in csv.reader(io.StringIO(sample), delimiter=separator) if row)
        except csv.Error:
            return (0, 0)
        several = [(rows * width, width) for width, rows in widths.items() if width > 1]
        return max(several, default=(0, 0))

    return max(SEPARATORS, key=score)


def _sheet(data: bytes, wanted: str) -> tuple[list[str], list[NotesLine]]:
    """Return the names of a sheet and of all that have rows, and its rows, read by a process that may fail."""
    scan(data)
    most = map(str, (limits.MOST_ROWS, limits.MOST_COLUMNS, MEMORY, PROCESSOR_S))
    asked = [sys.executable, *_reader(), *most, wanted]
    try:
        code, written = run_apart(asked, data=data)
    except subprocess.TimeoutExpired as error:
        raise NoTable(_TAKES_LONG) from error
    if code:
        raise _why(code)
    return _of_lines(written)


def _reader() -> list[str]:
    """Return how the reader of workbooks is started: the packaged program has no Python beside it, it is both."""
    if getattr(sys, "frozen", False):
        return [READS_WORKBOOK]
    return ["-P", str(Path(__file__).with_name("workbook_reader.py"))]


_TAKES_LONG = "it takes too long to read; save its table as .csv"
_TAKES_MUCH = "it takes too much memory to read; save its table as .csv"


def _why(code: int) -> NoTable:
    """Return why the process ended so; by a signal it ends where the system gives it no more of what it asks for."""
    if code == 3:
        return NoTable("it has no sheet with rows")
    if code == 4:
        return limits.too_many_cells()
    return NoTable(_TAKES_MUCH) if code == 5 or code < 0 else limits.not_whole()


def run_apart(asked: list[str], *, data: bytes) -> tuple[int, bytes]:
    """Give data to a process of its own; return how it ended and what it wrote."""
    done = subprocess.run(asked, input=data, capture_output=True, timeout=LONGEST_S, check=False)
    return done.returncode, done.stdout


def _of_lines(written: bytes) -> tuple[list[str], list[NotesLine]]:
    head, *rows = (json.loads(line) for line in io.BytesIO(written))
    return head, [_line(row[0], row[1:]) for row in rows]
