"""Whatever is refused costs little: files that are small and say much meet a limit while they are read.

    python3 -m tests --speed -m speed -s tests/exchange/notes/test_notes_limits.py

tells of each what `shopclock import` of it took: processor and memory of all its processes. Goal: 5 s and 500 MB.
"""

from __future__ import annotations

import io
import subprocess
import sys
import zipfile
from typing import TYPE_CHECKING

import pytest
import xlsxwriter

from shopclock.exchange.notes import limits
from shopclock.exchange.notes.file import read_table
from shopclock.shop.values.errors import ShopError
from tests.record.on_disk import DiskShop
from tests.speed.report import say

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from pathlib import Path

MOST_S, MOST_KB = 5, 500_000
SHEET, STRINGS = "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml"
MAIN = b'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'


def workbook() -> bytes:
    made = io.BytesIO()
    with xlsxwriter.Workbook(made) as book:
        sheet = book.add_worksheet("Notes")
        sheet.write_row(0, 0, ["Date", "Stage", "Time"])
        sheet.write_row(1, 0, ["7.3.26", "Saw", "1:20"])
    return made.getvalue()


def with_entries(entries: dict[str, Iterable[bytes]]) -> bytes:
    """A workbook with other entries in the place of its own."""
    made = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(workbook())) as old,
        zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as new,
    ):
        for name in old.namelist():
            if name not in entries:
                new.writestr(name, old.read(name))
        for name, pieces in entries.items():
            with new.open(name, "w") as file:
                file.writelines(pieces)
    return made.getvalue()


def sheet(*rows: bytes, times: int = 1, before: bytes = b"") -> bytes:
    head, end = b"<worksheet " + MAIN + b"><sheetData>", b"</sheetData></worksheet>"
    return with_entries({SHEET: [before, head, *rows * times, end]})


def cell(at: str) -> bytes:
    return f'<row r="{at.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")}"><c r="{at}"><v>1</v></c></row>'.encode()


def open_document(rows: str) -> bytes:
    made = io.BytesIO()
    names = " ".join(
        f'xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{short}:1.0"' for short in ("office", "table", "text")
    )
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        head = f'<office:document-content {names}><office:body><office:spreadsheet><table:table table:name="N">'
        end = "</table:table></office:spreadsheet></office:body></office:document-content>"
        book.writestr("content.xml", head + rows + end)
        book.writestr("META-INF/manifest.xml", "<manifest/>")
    return made.getvalue()


def row(cells: str, times: int = 1) -> str:
    return f'<table:table-row table:number-rows-repeated="{times}">{cells}</table:table-row>'


WORD = '<table:table-cell office:value-type="string"{}><text:p>x</text:p></table:table-cell>'
DATES = "".join(f"{n % 28 + 1}.13.2026;K{n // 40};Saw;1:{n % 60:02d};6\n" for n in range(limits.MOST_ROWS - 1))
MANY_ROWS = "".join(f"{n % 28 + 1}.3.2026;K{n // 40};Saw;1:{n % 60:02d};6\n" for n in range(199_000))
HEADS = "Date;Batch;Stage;Time;Qty\n"
TOO_MUCH = "there is far more in it than a table; save its table as .csv"
MEMORY = "it takes too much memory to read; save its table as .csv"
NOT_WHOLE = limits.not_whole().args[0]
LONG_CELL = limits.too_long_cell().args[0]
ROWS = limits.too_many_rows().args[0]
COLUMNS = limits.too_many_columns().args[0]
CELLS = limits.too_many_cells().args[0]
WORDS = (b"<sst " + MAIN + b"><si><t>" + b"x" * 32_000 + b"</t></si></sst>",)

REFUSED: dict[str, tuple[Callable[[], bytes], str]] = {
    "two cells that are far apart.xlsx": (lambda: sheet(cell("A1"), cell("GR199999")), ROWS),
    "two cells in the corners.xlsx": (lambda: sheet(cell("A1"), cell("XFD1048576")), ROWS),
    "a cell far to the right.xlsx": (lambda: sheet(cell("A1"), cell("XFD1")), COLUMNS),
    "long and wide.xlsx": (lambda: sheet(cell("A1"), cell("GR100000")), CELLS),
    "a row that nobody counts.xlsx": (lambda: sheet(cell("A99999999999999999999")), NOT_WHOLE),
    "a cell of 140 MB.xlsx": (lambda: sheet(b"<row><c><v>", *[b"x" * 1_000_000] * 140, b"</v></c></row>"), LONG_CELL),
    "a comment of 140 MB.xlsx": (lambda: sheet(b"<!--", *[b"x" * 1_000_000] * 140, b"-->"), LONG_CELL),
    "a cell of 550 MB.xlsx": (
        lambda: sheet(b"<row><c><v>", *[b"x" * 1_000_000] * 550, b"</v></c></row>"),
        "it unpacks to more than 150 MB; save its table as .csv",
    ),
    "one long word in every cell.xlsx": (
        lambda: with_entries(
            {
                SHEET: [
                    b"<worksheet " + MAIN + b"><sheetData>",
                    *[b"<row>" + b'<c t="s"><v>0</v></c>' * 10 + b"</row>"] * 70_000,
                    b"</sheetData></worksheet>",
                ],
                STRINGS: WORDS,
            }
        ),
        MEMORY,
    ),
    "elements without end.xlsx": (lambda: sheet(b"<a/>" * 1000, times=4000), TOO_MUCH),
    "elements in each other.xlsx": (lambda: sheet(b"<a>" * 1000, times=1000), NOT_WHOLE),
    "words without cells.xlsx": (
        lambda: with_entries({STRINGS: [b"<sst " + MAIN + b">", *[b"<si><t>a</t></si>" * 1000] * 2000, b"</sst>"]}),
        TOO_MUCH,
    ),
    "entities of its own.xlsx": (
        lambda: sheet(before=b'<!DOCTYPE w [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]>'),
        NOT_WHOLE,
    ),
    "a cell that is repeated to the right.ods": (
        lambda: open_document(row(WORD.format(' table:number-columns-repeated="16384"'))),
        COLUMNS,
    ),
    "a row that is repeated.ods": (
        lambda: open_document(row(WORD.format(""), 1_048_576)),
        ROWS,
    ),
    "binary.xlsb": (
        lambda: with_entries({"xl/workbook.bin": [b"x"]}),
        "it is an .xlsb; save it as .xlsx, .ods or .csv",
    ),
    "39 MB of separators.csv": (
        lambda: b"," * 39_000_000,
        f"a line of it is longer than {limits.LONGEST_LINE:,} letters; it is no table",
    ),
    "39 MB of separators in lines.csv": (lambda: (b"," * 199 + b"\n") * 195_000, CELLS),
    "a line of 201 fields.csv": (lambda: b"," * 200, COLUMNS),
    "a long cell.csv": (lambda: b"Date;Stage\n7.3.26;" + b"x" * 40_000, LONG_CELL),
    "199,000 rows.csv": ((HEADS + MANY_ROWS).encode, ROWS),
    "39 MB of one letter and a rare one.csv": (
        lambda: "\U00010000".encode() + b"a" * 38_000_000,
        f"a line of it is longer than {limits.LONGEST_LINE:,} letters; it is no table",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_a_limit_that_is_met_is_told_with_what_to_do(tmp_path: Path, name: str) -> None:
    made, why = REFUSED[name]
    (tmp_path / name).write_bytes(made())
    with pytest.raises(ShopError) as refused:
        read_table(tmp_path / name)
    assert str(refused.value) == f"{name} can't be taken: {why}. Nothing was changed."


@pytest.mark.parametrize("rows", ["", row('<table:table-cell table:number-columns-repeated="16384"/>', 1_048_570)])
def test_empty_rows_and_columns_that_a_spreadsheet_repeats_count_for_nothing(tmp_path: Path, rows: str) -> None:
    (tmp_path / "notes.ods").write_bytes(open_document(row(WORD.format("") * 3) * 2 + rows))
    assert [line.cells[:3] for line in read_table(tmp_path / "notes.ods").lines] == [("x", "x", "x")] * 2


def test_formats_of_empty_cells_count_for_nothing(tmp_path: Path) -> None:
    styled = b'<row r="119999">' + b'<c r="XFD119999" s="1"/>' + b"</row>"
    words = b'<row r="1"><c r="A1" t="str"><v>Date</v></c></row><row r="2"><c r="A2" t="str"><v>7.3.26</v></c></row>'
    (tmp_path / "notes.xlsx").write_bytes(sheet(words, styled))
    assert [line.cells[0] for line in read_table(tmp_path / "notes.xlsx").lines] == ["Date", "7.3.26"]


def test_as_many_cells_as_may_be_are_read(tmp_path: Path) -> None:
    rows, columns = 20_000, limits.MOST_CELLS // 20_000
    (tmp_path / "notes.csv").write_text(f"{';'.join(['x'] * columns)}\n" * rows)
    assert len(read_table(tmp_path / "notes.csv").lines) == rows


COUNTED = """
import resource, subprocess, sys
code = subprocess.call(sys.argv[1:], stdout=subprocess.DEVNULL)
used = resource.getrusage(resource.RUSAGE_CHILDREN)
print(code, used.ru_utime + used.ru_stime, used.ru_maxrss)
"""
"""A small process starts the command: what a process began as counts among its memory, and this one is large."""


def cost(file: Path, record: Path) -> tuple[float, int, str]:
    """Seconds of processor and kilobytes of memory that a command took with all its processes, and what it said."""
    command = [sys.executable, "-m", "shopclock", "import", str(file), "--record", str(record), "--dates", "day-first"]
    counted = [sys.executable, "-S", "-c", COUNTED, *command]
    done = subprocess.run(counted, capture_output=True, text=True, check=True)
    code, seconds, kilobytes = done.stdout.split()
    assert code == "1"
    return float(seconds), int(kilobytes), done.stderr.strip()


ALL_WRONG = "as many rows as may be, all of them wrong.csv"


@pytest.mark.speed
def test_what_is_refused_costs_five_seconds_and_half_a_gigabyte_at_most(tmp_path: Path) -> None:
    shop = DiskShop(tmp_path, 3)
    shop.close()
    for name, made in {
        **{name: made for name, (made, _) in REFUSED.items()},
        ALL_WRONG: (HEADS + DATES).encode,
    }.items():
        file = tmp_path / name
        file.write_bytes(made())
        seconds, kilobytes, said = cost(file, shop.path)
        say(f"{seconds:5.1f} s {kilobytes // 1000:4d} MB  {name}: {said.splitlines()[-1][:90]}")
        assert said.endswith((".", "left out."))
        assert kilobytes < MOST_KB, name
        file.unlink()


@pytest.mark.parametrize("name", ["one long word in every cell.xlsx", "two cells in the corners.xlsx"])
@pytest.mark.skipif(sys.platform != "linux", reason="only Linux counts a process's memory in kilobytes")
def test_what_is_refused_needs_less_than_half_a_gigabyte(tmp_path: Path, name: str) -> None:
    shop = DiskShop(tmp_path, 3)
    shop.close()
    (tmp_path / name).write_bytes(REFUSED[name][0]())
    _, kilobytes, said = cost(tmp_path / name, shop.path)
    assert kilobytes < MOST_KB
    assert said.endswith("Nothing was changed.")


@pytest.mark.parametrize(
    "spoilt", [b'<?xml version="1.0" encoding="UT-8"?>', b'<?xml version="1.0" encoding="utf-7"?>', b"\xff\xfe<"]
)
def test_a_workbook_in_letters_that_nobody_knows_is_refused(tmp_path: Path, spoilt: bytes) -> None:
    (tmp_path / "notes.xlsx").write_bytes(sheet(cell("A1"), before=spoilt))
    with pytest.raises(ShopError, match="it is no whole workbook"):
        read_table(tmp_path / "notes.xlsx")
