"""Reading the table in a file of old notes: CSV in any usual writing, XLSX, ODS; bounded in size, memory and time.

All cells are texts. What is no table is refused with a sentence; nothing is ever written.
"""

import csv
import hashlib
import io
import json
import stat
import subprocess
import sys
import zipfile
from collections import Counter
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from shopclock.shop.values.errors import ShopError

LARGEST = 40_000_000
"""Bytes of a file; a hundred thousand rows have a quarter of it."""
MOST_ROWS = 200_000
MOST_COLUMNS = 200
UNPACKED = 600_000_000
"""Bytes that a workbook says it unpacks to; more is taken for a bomb."""
MEMORY = 3_000_000_000
LONGEST_S = 60
SEPARATORS = ",;\t|"
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
    """Table in a file: its name, what its bytes are known by (SHA-256), and the rows that say something."""

    name: str
    sha256: str
    lines: tuple[NotesLine, ...]
    sheet: str = ""


class _NoTable(Exception):
    """Fault of a file that can't be taken, to be put into a sentence."""


def read_table(file: Path) -> NotesTable:
    """Return the table in a file. ShopError says why there is none; nothing was changed then."""
    try:
        return table_of(file.name, _bytes(file))
    except OSError as error:
        raise ShopError(f"{file} can't be read: {error.strerror or error}. Nothing was changed.") from error


def table_of(name: str, data: bytes) -> NotesTable:
    """Return the table in the bytes of a file; its kind is told by them, not by its name."""
    try:
        sheet, lines = _sheet(data) if data.startswith(b"PK") else ("", _csv(data))
    except _NoTable as error:
        raise ShopError(f"{name} can't be taken: {error}. Nothing was changed.") from error
    kept = tuple(line for line in lines if any(line.cells))
    if not kept:
        raise ShopError(f"{name} can't be taken: there is nothing in it. Nothing was changed.")
    return NotesTable(name, hashlib.sha256(data).hexdigest(), kept, sheet)


def _bytes(file: Path) -> bytes:
    """Return what is in a plain file that isn't too large; a pipe or a device never ends."""
    found = file.stat()
    if stat.S_ISDIR(found.st_mode) or not stat.S_ISREG(found.st_mode):
        raise ShopError(f"{file} is no file with a table. Nothing was changed.")
    with file.open("rb") as opened:
        data = opened.read(LARGEST + 1)
    if len(data) > LARGEST:
        raise ShopError(f"{file} is larger than {LARGEST // 1_000_000} MB. Nothing was changed. Split it.")
    return data


def _csv(data: bytes) -> list[NotesLine]:
    text = _text(data)
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator_of(text), skipinitialspace=True)
        rows = list(islice(reader, MOST_ROWS + 1))
    except csv.Error as error:
        raise _NoTable("its fields don't end where they should") from error
    if len(rows) > MOST_ROWS or any(len(row) > MOST_COLUMNS for row in rows):
        raise _NoTable(_TOO_MANY)
    return [_line(number, row) for number, row in enumerate(rows, start=1)]


_TOO_MANY = f"it has more than {MOST_ROWS} rows or {MOST_COLUMNS} columns"


def _line(number: int, row: list[str]) -> NotesLine:
    return NotesLine(number, tuple([" ".join(cell.split()) for cell in row]))


def _text(data: bytes) -> str:
    """Return text in whatever it was written: what its mark says, else UTF-8, else Windows' western one."""
    if data.startswith(_OLD_WORKBOOK):
        raise _NoTable("it is an old .xls; save it as .xlsx, .ods or .csv")
    marked = next((name for mark, name in _BOMS if data.startswith(mark)), None)
    if marked is None and b"\0" in data:
        raise _NoTable("it is no text and no workbook")
    for encoding in (marked,) if marked else ("utf-8", "cp1252", "latin-1"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise _NoTable("it isn't written as its first bytes say")


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


def _sheet(data: bytes) -> tuple[str, list[NotesLine]]:
    """Return the name and rows of a workbook's first sheet, read by a process that may fail."""
    _check_zip(data)
    script = Path(__file__).with_name("workbook_reader.py")
    asked = [sys.executable, "-P", str(script), str(MOST_ROWS), str(MOST_COLUMNS), str(MEMORY)]
    try:
        code, written = run_apart(asked, data=data)
    except subprocess.TimeoutExpired as error:
        raise _NoTable(f"it takes more than {LONGEST_S} s to read") from error
    if code:
        raise _NoTable({3: "it has no sheet with rows", 4: _TOO_MANY}.get(code, "it is no whole workbook"))
    return _of_lines(written)


def run_apart(asked: list[str], *, data: bytes) -> tuple[int, bytes]:
    """Give data to a process of its own; return how it ended and what it wrote."""
    done = subprocess.run(asked, input=data, capture_output=True, timeout=LONGEST_S, check=False)
    return done.returncode, done.stdout


def _of_lines(written: bytes) -> tuple[str, list[NotesLine]]:
    head, *rows = (json.loads(line) for line in written.splitlines())
    return head[0], [_line(row[0], row[1:]) for row in rows]


def _check_zip(data: bytes) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as book:
            unpacked = sum(entry.file_size for entry in book.infolist())
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OverflowError, EOFError, OSError) as error:
        raise _NoTable("it is no whole workbook") from error
    if unpacked > UNPACKED:
        raise _NoTable(f"it unpacks to more than {UNPACKED // 1_000_000} MB")
