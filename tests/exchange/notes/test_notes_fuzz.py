"""Ten thousand spoilt files of old notes: each is taken whole or refused with a sentence, in bounded time and memory.

They are made by changing bytes of real files and by writing what nobody should, always the same ones. Workbooks
that are changed are read in this process, by what the process of its own would run: it is started once for every
kind of file, and a test of its own holds its limits.
"""

from __future__ import annotations

import io
import random
import subprocess
import sys
import tempfile
import tracemalloc
import zipfile
from contextlib import closing
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from shopclock.exchange.notes import file, limits
from shopclock.exchange.notes.columns import guess
from shopclock.exchange.notes.file import read_table, table_of
from shopclock.exchange.notes.notes import NotesAnswers
from shopclock.exchange.notes.notes_in import UNDO, here_in, preview
from shopclock.exchange.notes.rows import RowQuestions, read_rows
from shopclock.exchange.notes.time import DateOrder, LengthUnit
from shopclock.record.check.check import check
from shopclock.record.press.record import Record
from shopclock.shop.values.errors import ShopError
from tests.plenty import parts
from tests.shop.workshop import ToyClock

ZONE = ZoneInfo("Europe/Vienna")
NOW_US = 1_792_690_200_000_000
ROWS = [
    ["Date", "Batch", "Pattern", "Task", "Time", "Qty", "Remarks"],
    ["7.3.26", "K1", "Oyster", "Saw", "1:20", "6", "new belt"],
    ["8/3/26", "", "", "Bevel", "30:00", "", ""],
    ["1899-12-31", "K1", "", "Harden", "-20", "6", "=1+1"],
    ["Sat 14 March 2026", "K2", "Oyster", "Temper", "19:10–20:35", "x", "é ü"],
    ["15.3.26", "K2", "", "Sweeping", "80 min", "", ""],
]
CSV = "\r\n".join(";".join(row) for row in ROWS).encode()
ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252", "latin-1", "cp437")
ODS_TYPE = "application/vnd.oasis.opendocument.spreadsheet"
OF = 'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"'
TABLE = 'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"'
TEXT = 'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"'
MOST_BYTES = 60_000_000


def xlsx() -> bytes:
    """A workbook with a merged cell, formulas, true dates and durations, and text among numbers."""
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        sheet = book.add_worksheet("Notes")
        for number, row in enumerate(ROWS):
            sheet.write_row(number, 0, row)
        sheet.merge_range(6, 0, 8, 0, "16.3.26")
        sheet.write_formula(6, 4, "=1/18", book.add_format({"num_format": "[h]:mm"}), 1 / 18)
        sheet.write_formula(7, 4, "=1/0", None, "#DIV/0!")
        sheet.write_number(8, 4, -0.5, book.add_format({"num_format": "[h]:mm"}))
        sheet.write_number(9, 0, 1, book.add_format({"num_format": "dd/mm/yyyy"}))
        sheet.write_number(9, 4, 1e300)
    return out.getvalue()


def ods() -> bytes:
    """The least there is of an open document's sheet."""
    cells = "".join(
        "<table:table-row>"
        + "".join(f'<table:table-cell office:value-type="string"><text:p>{c}</text:p></table:table-cell>' for c in row)
        + "</table:table-row>"
        for row in ROWS
    )
    body = f'<table:table table:name="Notes">{cells}</table:table>'
    content = f"<office:document-content {OF} {TABLE} {TEXT}><office:body><office:spreadsheet>{body}"
    content += "</office:spreadsheet></office:body></office:document-content>"
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as book:
        book.writestr("mimetype", ODS_TYPE)
        book.writestr("content.xml", content)
        manifest = '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"/>'
        book.writestr("META-INF/manifest.xml", manifest)
    return out.getvalue()


def repacked(data: bytes, dice: random.Random) -> bytes:
    """Change bytes inside one entry and pack it again: the zip is whole, what is in it is not."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        names = old.namelist()
        chosen = dice.choice(names)
        for name in names:
            found = old.read(name)
            new.writestr(name, mutated(found, dice) if name == chosen else found)
    return out.getvalue()


def mutated(data: bytes, dice: random.Random) -> bytes:
    """Flip, cut, double, swap or put in bytes, one to eight times."""
    changed = bytearray(data)
    for _ in range(dice.randint(1, 8)):
        at = dice.randrange(max(1, len(changed)))
        long = dice.choice((1, 1, 2, 8, 64))
        kind = dice.randrange(5)
        if kind == 0 and changed:
            changed[at % len(changed)] ^= 1 << dice.randrange(8)
        elif kind == 1:
            del changed[at : at + long]
        elif kind == 2:
            changed[at:at] = changed[at : at + long]
        elif kind == 3:
            changed[at : at + long] = dice.randbytes(long)
        else:
            changed[at:at] = dice.choice((b'"', b"\0", b"\xff\xfe", b"\n", b";", b"9" * 400, b"<", b"&x;"))
    return bytes(changed)


def inside(name: str, data: bytes) -> bool:
    """Take a file as far as its rows; tells whether it had a table. Whatever else comes out than a sentence fails."""
    try:
        table = table_of(name, data)
    except ShopError as error:
        if not (str(error).startswith(f"{name} can't be taken: ") and str(error).endswith("Nothing was changed.")):
            raise AssertionError(error) from error
        return False
    columns = guess(table)
    rows = read_rows(table, columns, ZONE, NOW_US, RowQuestions(DateOrder.DAY_FIRST, LengthUnit.MINUTES))
    assert len(rows.entries) + len(rows.troubles) == len(table.lines) - columns.first_line
    assert all(0 < one.length_us <= 31 * 86_400_000_000 for one in rows.entries)
    assert all(one.why for one in rows.troubles)
    return True


@pytest.fixture
def in_this_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """Read workbooks by the same lines, without starting a process for each."""
    from shopclock.exchange.notes import workbook_reader

    def run(asked: list[str], *, data: bytes) -> tuple[int, bytes]:
        rows, columns = int(asked[-5]), int(asked[-4])
        out = io.StringIO()
        try:
            return workbook_reader.write_rows(data, out, rows, columns), out.getvalue().encode("utf-8", "replace")
        except BaseException as error:  # there it would end the process with 1
            if isinstance(error, KeyboardInterrupt):
                raise
            return 1, b""

    monkeypatch.setattr(file, "run_apart", run)


@pytest.mark.long
@parts(10)
@pytest.mark.parametrize(("kind", "count"), [("csv", 400), ("xlsx", 300), ("ods", 300)])
@pytest.mark.usefixtures("in_this_process")
def test_a_file_with_changed_bytes_is_taken_whole_or_refused_with_a_sentence(kind: str, count: int, part: int) -> None:
    dice = random.Random(f"notes {kind} {part}")  # noqa: S311  # always the same files
    whole = {"csv": CSV, "xlsx": xlsx(), "ods": ods()}[kind]
    taken = 0
    for number in range(count):
        spoilt = repacked(whole, dice) if kind != "csv" and number % 2 else mutated(whole, dice)
        taken += inside(f"notes.{kind}", spoilt)
    assert 0 < taken < count


def test_real_files_are_taken_by_the_process_of_its_own(tmp_path: Path) -> None:
    for kind, data in (("csv", CSV), ("xlsx", xlsx()), ("ods", ods())):
        file = tmp_path / f"notes.{kind}"
        file.write_bytes(data)
        table = read_table(file)
        assert table.lines[1].cells[:5] == ("7.3.26", "K1", "Oyster", "Saw", "1:20")


@given(
    st.lists(st.lists(st.text(max_size=12), max_size=9), max_size=12),
    st.sampled_from(ENCODINGS),
    st.sampled_from(";,\t|"),
)
def test_whatever_is_written_as_csv_in_whatever_letters(rows: list[list[str]], encoding: str, separator: str) -> None:
    text = "Date;Task;Time\n".replace(";", separator) + "\n".join(separator.join(row) for row in rows)
    inside("notes.csv", text.encode(encoding, "replace"))


CELL = st.sampled_from(
    ["7.3.26", "31.2.26", "31/12/1899", "1900-01-00", "19:10-20:35", "-20", "-0:20", "30:00", "720 h", "800 h", "1e9",
     "=A1", "#REF!", "NaN", "inf", "∞", "½ h", "0", "00:00", "24:00", "25:00", "9" * 40, "K1", "Saw", "\u202e", "\0",
     ""]
)  # fmt: skip


@given(st.lists(st.lists(CELL, min_size=7, max_size=7), min_size=1, max_size=10))
def test_whatever_stands_in_a_cell_is_taken_or_has_its_reason(rows: list[list[str]]) -> None:
    lines = [ROWS[0], *rows]
    inside("notes.csv", "\n".join(";".join(line) for line in lines).encode())


@settings(max_examples=6)
@given(st.lists(st.lists(CELL, min_size=7, max_size=7), min_size=1, max_size=8))
def test_what_is_taken_is_sound_in_the_record(rows: list[list[str]]) -> None:
    said = NotesAnswers(asked=RowQuestions(DateOrder.DAY_FIRST, LengthUnit.MINUTES), pieces=3)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "notes.csv"
        text = "\n".join(";".join(line) for line in [ROWS[0], ROWS[1], *rows])
        file.write_text(text, encoding="utf-8", errors="replace")
        opened = Record.open(Path(folder) / "r.shopclock", ToyClock(), make=True, zone="Europe/Vienna")
        with closing(opened):
            try:
                seen = preview(opened.path, file, said, here_in(opened))
            except ShopError:
                assert check(opened.path) == []
                return
            if seen.parcel is not None:
                opened.take(seen.parcel, UNDO)
            assert check(opened.path) == []


def bomb(name: str = "xl/worksheets/sheet1.xml", size: int = 200_000_000, says: int | None = None) -> bytes:
    """A workbook of which one entry unpacks to much, and says that it is `says`."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(xlsx())) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.namelist():
            if entry != name:
                new.writestr(entry, old.read(entry))
        with new.open(name, "w") as file:
            file.write(b"<worksheet><sheetData>")
            for _ in range(size // 1_000_000):
                file.write(b"<row><c><v>1" + b" " * 999_970 + b"</v></c></row>")
    data = bytearray(out.getvalue())
    if says is not None:
        with zipfile.ZipFile(io.BytesIO(bytes(data))) as book:
            real = book.getinfo(name).file_size.to_bytes(4, "little")
        at = data.rindex(real)
        data[at : at + 4] = says.to_bytes(4, "little")
    return bytes(data)


def refused(data: bytes) -> str:
    with pytest.raises(ShopError) as found:
        table_of("notes.xlsx", data)
    return str(found.value)


def test_a_bomb_is_refused_before_it_is_opened() -> None:
    tracemalloc.start()
    data = bomb(size=limits.UNPACKED + 10_000_000)
    tracemalloc.reset_peak()
    before = tracemalloc.get_traced_memory()[0]
    assert "unpacks to more than" in refused(data)
    peak = tracemalloc.get_traced_memory()[1] - before
    tracemalloc.stop()
    assert peak < MOST_BYTES


def test_a_bomb_that_says_it_is_small_ends_in_its_own_process() -> None:
    said = refused(bomb(size=120_000_000, says=1000))
    assert said.endswith("Nothing was changed.")


def test_a_file_that_says_it_has_two_gigabytes_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "notes.csv"
    with file.open("wb") as out:
        out.truncate(2_000_000_000)
    with pytest.raises(ShopError, match="is larger than 40 MB"):
        read_table(file)
    assert "Nothing was changed." in refused(xlsx().replace(b"PK\x01\x02", b"PK\x01\x02", 1)[:-22])


def test_a_link_is_followed_to_a_file_and_to_nothing_else(tmp_path: Path) -> None:
    real = tmp_path / "real.csv"
    real.write_bytes(CSV)
    (tmp_path / "link.csv").symlink_to(real)
    (tmp_path / "round.csv").symlink_to(tmp_path / "round.csv")
    (tmp_path / "gone.csv").symlink_to(tmp_path / "nothing.csv")
    (tmp_path / "zero.csv").symlink_to("/dev/zero")
    assert read_table(tmp_path / "link.csv").lines[0].cells[0] == "Date"
    for name in ("round", "gone", "zero"):
        with pytest.raises(ShopError, match="Nothing was changed"):
            read_table(tmp_path / f"{name}.csv")


def test_the_reader_of_workbooks_may_have_no_more_memory_than_it_is_given() -> None:
    script = Path(file.__file__).with_name("workbook_reader.py")
    asked = [sys.executable, "-P", str(script), "1000", "10", "80000000", "60", ""]
    done = subprocess.run(asked, input=bomb(size=150_000_000), capture_output=True, timeout=300, check=False)
    assert done.returncode != 0
