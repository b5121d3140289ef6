"""A table is read whole, however it was written, or refused with one sentence."""

from __future__ import annotations

import datetime as dt
import io
import os
import random
import zipfile
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest
import xlsxwriter

from shopclock.exchange.notes import file, limits
from shopclock.exchange.notes.columns import What, guess
from shopclock.exchange.notes.file import NotesLine, read_table, separator_of, table_of
from shopclock.exchange.notes.rows import read_rows
from shopclock.shop.values.errors import ShopError
from tests.plenty import parts

if TYPE_CHECKING:
    from pathlib import Path

ROWS = "Date;Stage;Time\n7.3.26;Äste sägen;1:20\n"


def cells(data: bytes) -> list[tuple[str, ...]]:
    return [line.cells for line in table_of("notes", data).lines]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-32", "cp1252"])
def test_any_usual_encoding_gives_the_same_rows(encoding: str) -> None:
    assert cells(ROWS.encode(encoding)) == [("Date", "Stage", "Time"), ("7.3.26", "Äste sägen", "1:20")]


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_the_separator_is_found(separator: str) -> None:
    text = ROWS.replace(";", separator)
    assert separator_of(text) == separator
    assert len(cells(text.encode())[0]) == 3


def test_decimal_commas_do_not_pass_for_separators() -> None:
    assert cells(b"Date;Time\n7.3.26;1,5\n8.3.26;2,25\n9.3.26;1,5\n")[1] == ("7.3.26", "1,5")


def test_empty_rows_are_left_out_and_the_others_keep_their_numbers() -> None:
    found = table_of("notes", b"Date,Stage\n\n,\n7.3.26,Sawing\n").lines
    assert [line.number for line in found] == [1, 4]


def workbook() -> bytes:
    made = io.BytesIO()
    with xlsxwriter.Workbook(made) as book:
        sheet = book.add_worksheet("Year")
        day, clock = (book.add_format({"num_format": form}) for form in ("dd/mm/yyyy", "[h]:mm"))
        sheet.write_row(0, 0, ["Date", "Stage", "Time", "Start", "Qty"])
        sheet.write_datetime(1, 0, dt.datetime(2026, 3, 7), day)  # noqa: DTZ001  # a spreadsheet has no zones
        sheet.write(1, 1, "Sawing")
        sheet.write_number(1, 2, 80 / 1440, clock)
        sheet.write_datetime(1, 3, dt.time(19, 10), book.add_format({"num_format": "hh:mm"}))
        sheet.write_formula(1, 4, "=3*2", None, 6)
        sheet.merge_range(2, 0, 3, 0, "8.3.26")
        sheet.write(2, 1, "Filing")
        sheet.write(3, 1, "Etching")
    return made.getvalue()


def test_a_workbook_gives_dates_times_and_the_values_of_formulas_as_plain_text() -> None:
    table = table_of("notes.xlsx", workbook())
    assert table.sheet == "Year"
    assert table.lines[1] == NotesLine(2, ("2026-03-07", "Sawing", "1:20:00", "19:10:00", "6"))
    assert [line.cells[:2] for line in table.lines[2:]] == [("8.3.26", "Filing"), ("", "Etching")]


ODS_CELLS = (
    '<table:table-row><table:table-cell office:value-type="string"><text:p>Date</text:p></table:table-cell>'
    '<table:table-cell office:value-type="string"><text:p>Time</text:p></table:table-cell></table:table-row>'
    '<table:table-row><table:table-cell office:value-type="date" office:date-value="2026-03-07"/>'
    '<table:table-cell office:value-type="time" office:time-value="PT01H20M00S"/></table:table-row>'
)


def ods() -> bytes:
    """A sheet as OpenDocument 1.3 (part 3, sections 9 and 19) has it, with nothing that a reader could do without."""
    names = " ".join(
        f'xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{short}:1.0"' for short in ("office", "table", "text")
    )
    sheet = f'<table:table table:name="Year">{ODS_CELLS}</table:table>'
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as book:
        book.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        book.writestr(
            "content.xml",
            f"<office:document-content {names}><office:body><office:spreadsheet>{sheet}</office:spreadsheet>"
            "</office:body></office:document-content>",
        )
        book.writestr("META-INF/manifest.xml", "<manifest/>")
    return made.getvalue()


def test_an_open_document_gives_the_same_plain_text() -> None:
    table = table_of("notes.ods", ods())
    assert [line.cells for line in table.lines] == [("Date", "Time"), ("2026-03-07", "01:20:00")]


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "there is nothing in it"),
        (b"\n\n , \n", "there is nothing in it"),
        (b"\xd0\xcf\x11\xe0 old", "it is an old .xls; save it as .xlsx, .ods or .csv"),
        (b"a\0b", "it is no text and no workbook; save it as .xlsx, .ods or .csv"),
        (b"\xff\xfea", "it isn't written as its first bytes say; save it anew as UTF-8"),
        (b"PK\x03\x04 torn", limits.not_whole().args[0]),
        (b"a,b\n" + b"x" * 140_000, "its fields don't end where they should; save it anew from a spreadsheet program"),
        (b",".join([b"x"] * 300), limits.too_many_columns().args[0]),
    ],
)
def test_what_is_no_table_is_refused_with_one_sentence(data: bytes, why: str) -> None:
    with pytest.raises(ShopError) as refused:
        table_of("notes", data)
    assert str(refused.value) == f"notes can't be taken: {why}. Nothing was changed."


def test_a_zip_that_unpacks_to_more_than_there_is_room_for_is_refused_unopened() -> None:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as book:
        book.writestr("xl/workbook.xml", b" " * 1000)
    claimed = bytearray(made.getvalue())
    at = claimed.rindex(b"PK\x01\x02")
    claimed[at + 24 : at + 28] = (2_000_000_000).to_bytes(4, "little")
    with pytest.raises(ShopError, match="it unpacks to more than 150 MB"):
        table_of("bomb.xlsx", bytes(claimed))


def test_what_takes_too_long_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(file, "LONGEST_S", 0.001)
    with pytest.raises(ShopError, match="too long to read"):
        table_of("notes.xlsx", workbook())


def test_what_is_no_plain_file_is_not_read(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for name, kind in (("", "a folder"), ("pipe", "a pipe")):
        with pytest.raises(ShopError, match=f"is {kind}, not a file"):
            read_table(tmp_path / name)
    with pytest.raises(ShopError, match="can't be read: No such file"):
        read_table(tmp_path / "missing.csv")


def test_a_file_that_is_too_large_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(limits, "LARGEST", 10)
    (tmp_path / "large.csv").write_bytes(b"x" * 11)
    with pytest.raises(ShopError, match="is larger than"):
        read_table(tmp_path / "large.csv")


def mutated(dice: random.Random, data: bytes) -> bytes:
    spoiled = bytearray(data)
    for _ in range(dice.randint(1, 8)):
        at = dice.randrange(len(spoiled))
        how = dice.randrange(4)
        if how == 0:
            spoiled[at] = dice.randrange(256)
        elif how == 1:
            del spoiled[at : at + dice.randint(1, 20)]
        elif how == 2:
            spoiled[at:at] = dice.randbytes(dice.randint(1, 20))
        else:
            spoiled[at:at] = spoiled[at : at + dice.randint(1, 200)]
        if not spoiled:
            break
    return bytes(spoiled)


def taken_or_refused(data: bytes) -> bool:
    try:
        table = table_of("notes", data)
    except ShopError:
        return False
    assert table.lines
    return True


def test_a_spoiled_text_is_taken_or_refused() -> None:
    dice = random.Random(26)  # noqa: S311  # dice, no secret
    found = [taken_or_refused(mutated(dice, (ROWS * 5).encode(dice.choice(["utf-8", "utf-16"])))) for _ in range(500)]
    assert any(found)
    assert not all(found)


def test_a_spoiled_workbook_is_taken_or_refused() -> None:
    dice, book = random.Random(26), workbook()  # noqa: S311  # dice, no secret
    found = [taken_or_refused(mutated(dice, book)) for _ in range(12)]
    assert not all(found)


@pytest.mark.long
@parts(10)
def test_of_ten_thousand_spoiled_files_each_is_taken_or_refused(part: int) -> None:
    dice, book = random.Random(27 + part), workbook()  # noqa: S311  # dice, no secret
    texts = [taken_or_refused(mutated(dice, (ROWS * 20).encode("utf-8-sig"))) for _ in range(950)]
    books = [taken_or_refused(mutated(dice, book)) for _ in range(50)]
    assert any(texts)
    assert not all(books)


HABITS = (
    "Date;Batch;Design;What I did;Time;Qty;How;Remarks\nSat 7.3.26;K1;Oyster knife;Sawing;1:20;6;hacksaw;\n"
    ";;;bevels;1h20;6;;new belt\n8/3/26;;;Harden;19:10–20:35;6;;\n9 Mar 2026;K2;;Temper;1½ h;six;;\n"
)


def rows_or_troubles(data: bytes) -> int:
    """How many rows of a spoiled table are taken; each of the others is in trouble, or the file is refused."""
    try:
        table = table_of("notes", data)
    except ShopError:
        return 0
    columns = guess(table)
    if What.DATE not in columns.places or What.STAGE not in columns.places:
        return 0
    found = read_rows(table, columns, ZoneInfo("Europe/Vienna"), 1_792_868_400_000_000)
    assert len(found.entries) + len(found.troubles) == len(table.lines) - columns.first_line
    assert all(entry.length_us > 0 and entry.day_us < entry.next_day_us for entry in found.entries)
    assert all(trouble.why for trouble in found.troubles)
    return len(found.entries)


def test_of_spoiled_notes_every_row_is_taken_or_listed() -> None:
    dice = random.Random(28)  # noqa: S311  # dice, no secret
    assert sum(rows_or_troubles(mutated(dice, HABITS.encode())) for _ in range(400)) > 400


@pytest.mark.long
@parts(10)
def test_of_ten_thousand_spoiled_notes_every_row_is_taken_or_listed(part: int) -> None:
    dice = random.Random(29 + part)  # noqa: S311  # dice, no secret
    assert sum(rows_or_troubles(mutated(dice, HABITS.encode())) for _ in range(1_000)) > 1_000
