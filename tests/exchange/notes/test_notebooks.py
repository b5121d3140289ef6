"""Three messy notebooks of a year, by three habits and in two languages: they come in and show in trends."""

from __future__ import annotations

import csv
from collections import Counter
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import xlsxwriter

from shopclock.exchange.notes.columns import What
from shopclock.exchange.notes.notes import NotesAnswers, NotesDraft, draft_notes
from shopclock.exchange.notes.notes_in import here_in, take_in
from shopclock.record.check.check import check
from shopclock.record.press.record import Record
from shopclock.shop.figures.trend_rows import LeftOut, left_out
from shopclock.shop.values.entities import Method, Stage
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Certainty
from shopclock.tour.window import StoppedClock
from tests.walks.walk import START_US, new_record

if TYPE_CHECKING:
    from collections.abc import Iterator

NOTEBOOKS = Path(__file__).with_name("notebooks")
DIARY, LOG = NOTEBOOKS / "bench diary.csv", NOTEBOOKS / "log 2025.csv"
HALVES = ("Jan-Jun", "Jul-Dez")
TIMED = NotesAnswers(measured=True)


@pytest.fixture
def record(tmp_path: Path) -> Iterator[Record]:
    with closing(Record.open(new_record(tmp_path / "shop.shopclock"), StoppedClock(START_US))) as opened:
        yield opened


@pytest.fixture
def workbook(tmp_path: Path) -> Path:
    return written_workbook(tmp_path)


def written_workbook(folder: Path) -> Path:
    """The German notebook as it was kept: a workbook with a sheet for each half of the year."""
    file = folder / "Werkstattbuch.xlsx"
    with xlsxwriter.Workbook(file) as book:
        for half in HALVES:
            sheet = book.add_worksheet(half)
            with (NOTEBOOKS / f"Werkstattbuch {half}.csv").open(encoding="utf-8", newline="") as opened:
                for number, row in enumerate(csv.reader(opened, delimiter=";")):
                    sheet.write_row(number, 0, row)
    return file


def drafted(record: Record, file: Path, said: NotesAnswers = TIMED) -> NotesDraft:
    return draft_notes(record, file, said, here_in(record))


def days(made: NotesDraft) -> list[date]:
    """The days of the rows in their order."""
    rows = sorted((one.entry for one in made.notes.placed), key=lambda entry: entry.row)
    return [(datetime.fromtimestamp(entry.day_us / 1e6, UTC) + timedelta(hours=2)).date() for entry in rows]


def refused(made: NotesDraft) -> list[tuple[int, str]]:
    return [(one.row, one.cell) for one in made.troubles]


def ways(made: NotesDraft) -> Counter[tuple[str, str]]:
    """How often each stage was worked by a method."""
    return Counter((one.entry.stage, one.entry.method) for one in made.notes.placed if one.entry.method)


def test_of_a_diary_only_what_nobody_could_read_is_refused(record: Record) -> None:
    made = drafted(record, DIARY)
    assert refused(made) == [(26, "?? Apr"), (41, "12 Auug")]
    assert len(made.notes.placed) == 56


def test_years_come_from_the_rows_around_them(record: Record) -> None:
    made = drafted(record, DIARY)
    assert made.yearless == 53
    assert days(made) == sorted(days(made))
    assert {day.year for day in days(made)} == {2025}


def test_the_year_in_the_name_of_a_file_is_that_of_its_first_row(record: Record) -> None:
    made = drafted(record, LOG)
    assert refused(made) == []
    assert (days(made)[0], {day.year for day in days(made)}) == (date(2025, 2, 3), {2025})


def test_what_says_ca_is_estimated_though_the_rest_was_timed(record: Record) -> None:
    guessed = {one.entry.row for one in drafted(record, DIARY).notes.placed if one.sure is Certainty.ESTIMATED}
    with DIARY.open(encoding="utf-8", newline="") as opened:
        said = {n for n, row in enumerate(csv.reader(opened), start=1) if row[4].startswith(("ca ", "~"))}
    assert guessed == said
    assert len(guessed) == 16


def test_a_column_of_lengths_that_is_called_how_long_is_no_method(record: Record) -> None:
    assert "E length" in columns(record, DIARY)
    assert "how" not in {method for _, method in ways(drafted(record, DIARY))}


def columns(record: Record, file: Path) -> str:
    from shopclock.exchange.notes.text import columns_text

    return columns_text(drafted(record, file))


def test_one_name_says_stage_and_method_whatever_its_spelling(record: Record) -> None:
    assert ways(drafted(record, DIARY)) == {("bevels", "free hand"): 5, ("bevels", "jig"): 3}
    assert ways(drafted(record, LOG)) == {("Bevels", "jig"): 3, ("Bevels", "by hand"): 6}


def test_a_german_workbook_comes_in_sheet_by_sheet(record: Record, workbook: Path) -> None:
    """Serie is the batch, Arbeit the stage, Stunden hours: nothing is asked. The second sheet is next by itself."""
    first = drafted(record, workbook)
    assert first.others == ("Jul-Dez",)
    assert (refused(first), first.columns.head(What.BATCH)) == ([], "Serie")
    take_in(record, first)
    second = drafted(record, workbook)
    assert second.notes.file == "Werkstattbuch.xlsx, Jul-Dez"
    take_in(record, second)
    with pytest.raises(Refusal, match="was brought in already"):
        drafted(record, workbook)
    record.load_since(0)
    assert check(record.path) == []
    assert {stage.name for stage in record.floor.all(Stage)} >= {"Aussägen", "Fase", "Griffe kleben"}
    assert {m.name for m in record.floor.all(Method)} == {"Vorrichtung", "freihand"}
    assert len([row for row in record.reads.intervals() if row.notes]) == 56


def test_timed_notes_count_in_trends_by_method_and_guessed_ones_do_not(record: Record) -> None:
    take_in(record, drafted(record, DIARY))
    record.load_since(0)
    names = {stage.id: stage.name for stage in record.floor.all(Stage)}
    methods = {method.id: method.name for method in record.floor.all(Method)}
    rows = list(record.reads.stage_rows(record.instant()))
    bevels = Counter(
        methods[row.method_id] for row in rows if names[row.stage_id] == "bevels" and left_out(row) is None
    )
    assert bevels == {"free hand": 5, "jig": 3}
    assert {left_out(row) for row in rows if names[row.stage_id] == "drill"} == {LeftOut.GUESSED}


def test_a_cell_that_is_put_right_brings_its_row_in_and_leaves_the_file_as_it_is(record: Record) -> None:
    before = DIARY.read_bytes()
    right = NotesAnswers(measured=True, cells={(41, 0): "12 Aug", (26, 0): "20 Apr"})
    made = drafted(record, DIARY, right)
    assert refused(made) == []
    assert date(2025, 8, 12) in days(made)
    assert DIARY.read_bytes() == before
