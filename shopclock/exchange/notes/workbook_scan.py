"""A look through a workbook before it is read: what it unpacks to and how far its sheets reach, counted piece by piece.

A reader of workbooks makes room for every cell between the first and the last; two far apart are a few bytes in the
file (ISO/IEC 29500-1, 18.3.1.4; OpenDocument 1.3 part 3, 19.679 and 19.682: cells and rows that are repeated).
"""

import io
import zipfile
import zlib
from collections.abc import Callable, Iterator
from xml.parsers import expat

from shopclock.exchange.notes.limits import (
    DEEPEST,
    LONGEST_CELL,
    MOST_ELEMENTS,
    MOST_ENTRIES,
    UNPACKED,
    CellCount,
    NoTable,
    not_whole,
    too_long_cell,
)

AT_ONCE = 1 << 15
OPEN_DOCUMENT = "content.xml"
_BINARY = "xl/workbook.bin"
_MARKUP = (".xml", ".rels")
_PACKED = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_SPOILT = (zipfile.BadZipFile, zlib.error, ValueError, NotImplementedError, OverflowError, EOFError, OSError,
           LookupError, RuntimeError, expat.ExpatError)  # fmt: skip


def scan(data: bytes) -> None:
    """Look through all of a workbook. NoTable says which limit it meets, or that it is not whole."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as book:
            _look_through(book)
    except _SPOILT as error:
        raise not_whole() from error


def _look_through(book: zipfile.ZipFile) -> None:
    entries = book.infolist()
    names = {entry.filename for entry in entries}
    if _BINARY in names:
        raise NoTable("it is an .xlsb; save it as .xlsx, .ods or .csv")
    if len(names) < len(entries) or any(entry.compress_type not in _PACKED for entry in entries):
        raise not_whole()
    if len(entries) > MOST_ENTRIES or sum(entry.file_size for entry in entries) > UNPACKED:
        raise NoTable(f"it unpacks to more than {UNPACKED // 1_000_000} MB; save its table as .csv")
    count, read = _Elements(), _open_document if OPEN_DOCUMENT in names else _office_sheet
    for entry in entries:
        if entry.filename.lower().endswith(_MARKUP):
            _read(_pieces(book, entry), read(CellCount()), count)


def _pieces(book: zipfile.ZipFile, entry: zipfile.ZipInfo) -> Iterator[bytes]:
    """Yield what is in an entry: no more than it says, and spoilt where it isn't just that."""
    with book.open(entry) as file:
        while some := file.read(AT_ONCE):
            yield some


class _Elements:
    """Count of the elements that were seen in all entries."""

    def __init__(self) -> None:
        self.n = 0

    def more(self, n: int) -> None:
        self.n += n
        if self.n > MOST_ELEMENTS:
            raise NoTable("there is far more in it than a table; save its table as .csv")


_Start = Callable[[str, list[str]], None]


def _read(pieces: Iterator[bytes], start: _Start, count: _Elements) -> None:
    parser, seen, depth, without = expat.ParserCreate(), 0, 0, 0

    def element(name: str, attributes: list[str]) -> None:
        nonlocal seen, depth
        seen, depth = seen + 1, depth + 1
        if depth > DEEPEST:
            raise not_whole()
        start(name, attributes)

    def end(_: str) -> None:
        nonlocal depth
        depth -= 1

    def doctype(*_: object) -> None:
        raise not_whole()  # no spreadsheet program writes one, and entities of one's own unfold without end

    parser.ordered_attributes = True
    parser.StartElementHandler, parser.EndElementHandler, parser.StartDoctypeDeclHandler = element, end, doctype
    for some in pieces:
        seen = 0
        parser.Parse(some, False)
        count.more(seen)
        without = 0 if seen else without + len(some)
        if without > 4 * LONGEST_CELL:  # a letter has up to four bytes
            raise too_long_cell()
    parser.Parse(b"", True)


def _office_sheet(reached: CellCount) -> _Start:
    """Follow the rows and cells of a sheet of SpreadsheetML; one without a reference stands after the one before."""
    row = column = 0
    known: dict[str, int] = {}

    def start(name: str, attributes: list[str]) -> None:
        nonlocal row, column
        tail = name if ":" not in name else name.rpartition(":")[2]
        if tail == "c":
            reference = _attribute(attributes, "r")
            if reference is None:
                column += 1
            else:
                letters = reference.rstrip("0123456789")
                column = known.get(letters) or known.setdefault(letters, _column(letters))
                row = _number(reference[len(letters) :])
        elif tail in ("v", "is", "f"):
            if row > reached.rows or column > reached.columns:
                reached.reach(row, column)
        elif tail == "row":
            reference = _attribute(attributes, "r")
            row, column = row + 1 if reference is None else _number(reference), 0

    return start


def _attribute(attributes: list[str], name: str) -> str | None:
    for place in range(0, len(attributes), 2):
        if attributes[place] == name:
            return attributes[place + 1]
    return None


def _column(letters: str) -> int:
    """Return the place of column AB, from one on."""
    column = 0
    for letter in letters[:4].upper():
        column = column * 26 + ord(letter) - 64
    return column


def _number(text: str) -> int:
    """Return a whole number from one on; what is none, or so long that nobody counts to it, spoils the workbook."""
    if not (text.isascii() and text.isdigit() and len(text) <= 10):
        raise not_whole()
    return int(text)


def _open_document(reached: CellCount) -> _Start:
    """Follow the rows and cells of OpenDocument's tables; what is repeated counts only where it says something."""
    row = rows = column = columns = 0

    def start(name: str, attributes: list[str]) -> None:
        nonlocal row, rows, column, columns
        if name in ("table:table-cell", "table:covered-table-cell"):
            column += columns
            columns = _repeated(attributes, "table:number-columns-repeated")
            if "office:value-type" in attributes or "table:formula" in attributes:
                reached.reach(row + rows, column + columns)
        elif name == "text:p":
            reached.reach(row + rows, column + columns)
        elif name == "table:table-row":
            row, column, columns = row + rows, 0, 0
            rows = _repeated(attributes, "table:number-rows-repeated")
        elif name == "table:table":
            row = rows = column = columns = 0

    return start


def _repeated(attributes: list[str], name: str) -> int:
    said = _attribute(attributes, name)
    return 1 if said is None else _number(said)
