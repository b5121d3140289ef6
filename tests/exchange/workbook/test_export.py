import csv
import errno
import gc
import re
import zipfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from shopclock.exchange.workbook.cells import Sheet
from shopclock.exchange.workbook.cost_sheet import costs_in
from shopclock.exchange.workbook.export import export_file, export_record
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.exchange.workbook.safe_text import cell_text
from shopclock.exchange.workbook.sheets import BATCHES, INTERVALS, PIECES, READINGS, STAGES
from shopclock.exchange.workbook.xlsx_file import Target, Workbook, day_number
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.setup import patterns
from shopclock.shop.values.entities import Batch, Stage
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import Stopped
from shopclock.shop.work import batches
from tests.exchange.read_workbook import Row, read_workbook
from tests.exchange.shop_story import NASTY, REASON, START_US, TAB, Story
from tests.shop.starters import starters

VIENNA = ZoneInfo("Europe/Vienna")
NOW_US = START_US + 12 * 3600 * 1_000_000


@pytest.fixture
def book(reading: ReadOnlyRecord, tmp_path: Path) -> dict[str, list[Row]]:
    export_record(reading, tmp_path / "sheet.xlsx", VIENNA, ExportOptions(now_us=NOW_US))
    return read_workbook(tmp_path / "sheet.xlsx")


def test_the_workbook_has_its_sheets_and_a_row_for_each_thing(
    book: dict[str, list[Row]], reading: ReadOnlyRecord
) -> None:
    assert list(book) == ["Intervals", "Batches", "Stages by batch", "Costs", "Pieces", "Readings"]
    assert len(book["Intervals"]) == sum(1 for _ in reading.reads.intervals()) == 7
    assert len(book["Pieces"]) == 8


def test_names_that_look_like_formulas_are_text(book: dict[str, list[Row]]) -> None:
    first, last = book["Pieces"][0], book["Pieces"][-1]
    assert first["Batch"] == ("inlineStr", "@SUM(A1)")
    assert first["Pattern"] == ("inlineStr", NASTY)
    assert first["Reason"] == ("inlineStr", REASON)
    assert last["Batch"] == ("inlineStr", "-2")
    assert last["Number"] == ("inlineStr", TAB.replace("\x07", ""))
    assert last["From piece"] == ("inlineStr", "@SUM(A1) B")


def test_no_name_is_part_of_a_formula_of_the_front_sheet(reading: ReadOnlyRecord, tmp_path: Path) -> None:
    export_record(reading, tmp_path / "sheet.xlsx", VIENNA, ExportOptions(now_us=NOW_US))
    with zipfile.ZipFile(tmp_path / "sheet.xlsx") as book:
        front, table = (book.read(f"xl/worksheets/sheet{n}.xml").decode() for n in (1, 2))
    formulas = re.findall(r"<f>(.*?)</f>", front + table)
    assert len(formulas) > 10
    assert not [formula for formula in formulas if "1+1" in formula or "@SUM" in formula]
    assert re.search(r'<c r="I11"[^>]* t="inlineStr"><is><t>=1\+1;', front)


def test_a_shop_in_which_nothing_was_done_has_a_workbook_too(tmp_path: Path) -> None:
    """Without a batch, then with one on which nobody has worked."""
    story = Story(tmp_path / "new.shopclock")
    for n in (1, 2):
        with ReadOnlyRecord.open(story.record.path) as reading:
            export_record(reading, tmp_path / f"{n}.xlsx", VIENNA, ExportOptions(now_us=story.clock.now_us))
        assert len(read_workbook(tmp_path / f"{n}.xlsx")["Batches"]) == n - 1
        if n == 1:
            _begin_a_batch(story)
    story.record.close()


def _begin_a_batch(story: Story) -> None:
    pattern = story.press(0, lambda tx: patterns.copy_route(tx, starters()[-1], "Oyster"))
    story.press(1, lambda tx: batches.start_batch(tx, pattern, 4, "26-01"))


def test_intervals_agree_with_the_record_to_the_microsecond(
    book: dict[str, list[Row]], reading: ReadOnlyRecord
) -> None:
    for cells, row in zip(book["Intervals"], reading.reads.intervals(), strict=True):
        assert cells["Key"] == ("inlineStr", row.uuid)
        assert cells["Start (UTC)"][1] == pytest.approx(day_number(row.start_us), abs=1e-11)
        if row.end_us is None:
            assert not {"End (shop time)", "End (UTC)", "Length (h:mm)", "Labour (min)"} & cells.keys()
        else:
            assert round(float(cells["Length (h:mm)"][1]) * 86_400_000_000) == row.end_us - row.start_us
            assert round(float(cells["Length (min)"][1]) * 60_000_000) == row.end_us - row.start_us
            assert round(float(cells["Labour (min)"][1]) * 60_000_000) == row.labour_us


def test_over_the_change_of_clocks_shop_time_jumps_and_the_length_does_not(book: dict[str, list[Row]]) -> None:
    night = max(book["Intervals"], key=lambda row: row.get("Length (min)", ("n", 0.0))[1])
    by_the_wall = float(night["End (shop time)"][1]) - float(night["Start (shop time)"][1])
    in_utc = float(night["End (UTC)"][1]) - float(night["Start (UTC)"][1])
    assert in_utc == pytest.approx(float(night["Length (h:mm)"][1]), abs=1e-10)
    assert (in_utc - by_the_wall) * 24 == pytest.approx(1, abs=1e-6)


@pytest.mark.parametrize(
    ("at_us", "day"),
    [(0, 25_569), (43_200_000_000, 25_569.5), (-25_568 * 86_400_000_000 + 60 * 86_400_000_000, 61), (1, 25_569)],
)
def test_day_numbers_count_as_spreadsheets_do(at_us: int, day: float) -> None:
    """ECMA-376, 18.17.4.1: the 1900 system counts 1 January 1900 as 1 and a 29 February 1900, so 1 March 1900 is 61."""
    assert day_number(at_us) == pytest.approx(day, abs=2e-11)


def test_minutes_per_piece_are_the_programs_own(book: dict[str, list[Row]], reading: ReadOnlyRecord) -> None:
    rows = iter(book["Stages by batch"])
    for batch in reading.floor.all(Batch):
        for stage in figures(reading.load_batch(batch.id), batch.id, NOW_US).stages:
            row = next(rows)
            assert row["Stage"][1] == reading.floor.get(Stage, stage.stage_id).name
            assert _number(row, "Run per piece (min)") == stage.per_piece_min
            assert _number(row, "Set-up per piece (min)") == stage.setup_per_piece_min
            assert _number(row, "Per finished piece (min)") == pytest.approx(stage.per_finished_min, rel=1e-15)
            assert _number(row, "Spent (min)") == pytest.approx(stage.all_us / 60e6, rel=1e-15)
    assert next(rows, None) is None


def _number(row: Row, head: str) -> object:
    found = row.get(head)
    return None if found is None else pytest.approx(found[1], rel=1e-15)


def test_an_open_batch_says_so_far_and_a_closed_one_does_not(book: dict[str, list[Row]]) -> None:
    said = {row["Batch"][1]: row.get("So far", ("", ""))[1] for row in book["Stages by batch"]}
    assert said == {"@SUM(A1)": "", "-2": "yes"}


def test_one_batch_alone_leaves_out_the_others_and_shop_work(reading: ReadOnlyRecord, tmp_path: Path) -> None:
    batch = next(batch for batch in reading.floor.all(Batch) if batch.name == "-2")
    options = ExportOptions(now_us=NOW_US, batch_ids=frozenset({batch.id}))
    export_record(reading, tmp_path / "sheet.xlsx", VIENNA, options)
    sheets = read_workbook(tmp_path / "sheet.xlsx")
    for name in ("Intervals", "Stages by batch", "Pieces"):
        assert {row["Batch"][1] for row in sheets[name]} == {"-2"}


@pytest.mark.parametrize(("separator", "decimal"), [(",", "."), (";", ","), ("\t", ".")])
def test_csv_has_the_same_intervals(reading: ReadOnlyRecord, tmp_path: Path, separator: str, decimal: str) -> None:
    path = tmp_path / "sheet.CSV"
    export_record(reading, path, VIENNA, ExportOptions(now_us=NOW_US, separator=separator, decimal=decimal))
    assert path.read_bytes().startswith(b"\xef\xbb\xbfBatch" + separator.encode())
    with path.open(encoding="utf-8-sig", newline="") as file:
        found = list(csv.DictReader(file, delimiter=separator))
    for fields, row in zip(found, reading.reads.intervals(), strict=True):
        assert fields["Key"] == row.uuid
        assert datetime.fromisoformat(fields["Start (UTC)"]) == _utc(row.start_us)
        assert fields["Pattern"] in ("", f"'{NASTY}")
        if row.end_us is None:
            assert fields["End (UTC)"] == fields["End (shop time)"] == fields["Labour (min)"] == ""
        else:
            assert round(float(fields["Length (min)"].replace(decimal, ".")) * 60e6) == row.end_us - row.start_us
            assert datetime.fromisoformat(fields["End (shop time)"]) == _wall(row.end_us)


def _utc(at_us: int) -> datetime:
    return datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=at_us)


def _wall(at_us: int) -> datetime:
    return _utc(at_us).astimezone(VIENNA).replace(tzinfo=None, microsecond=0)


def test_a_screen_gets_the_same_file(reading: ReadOnlyRecord, story_path: Path, tmp_path: Path) -> None:
    export_record(reading, tmp_path / "one.csv", VIENNA, ExportOptions(now_us=NOW_US))
    export_file(story_path, tmp_path / "two.csv", ExportOptions(now_us=NOW_US))
    assert (tmp_path / "one.csv").read_bytes() == (tmp_path / "two.csv").read_bytes()


def test_heads_stay_in_sight_and_are_filters(reading: ReadOnlyRecord, tmp_path: Path) -> None:
    export_record(reading, tmp_path / "sheet.xlsx", VIENNA, ExportOptions(now_us=NOW_US))
    with zipfile.ZipFile(tmp_path / "sheet.xlsx") as book:
        for n in range(3, 9):
            page = book.read(f"xl/worksheets/sheet{n}.xml").decode()
            assert 'state="frozen"' in page
            assert '<autoFilter ref="A1:' in page


@pytest.mark.parametrize(
    "sheet", [INTERVALS, BATCHES, STAGES, costs_in("EUR"), PIECES, READINGS], ids=lambda sheet: sheet.name
)
def test_each_head_is_there_once_and_is_explained(sheet: Sheet[object]) -> None:
    heads = [column.head for column in sheet.columns]
    assert len(set(heads)) == len(heads)
    assert all(column.tells.endswith(".") for column in sheet.columns)


@pytest.mark.parametrize("name", ["sheet.ods", "sheet", ".xlsx", "sheet.xlsx.zip"])
def test_an_ending_that_is_not_known_is_refused(reading: ReadOnlyRecord, tmp_path: Path, name: str) -> None:
    with pytest.raises(ShopError, match=r"ends in none of \.xlsx, \.csv and \.json\. Nothing was written"):
        export_record(reading, tmp_path / name, VIENNA, ExportOptions(now_us=NOW_US))
    assert list(tmp_path.iterdir()) == []


def test_the_record_itself_is_never_written_over(story_path: Path, tmp_path: Path) -> None:
    copy = tmp_path / "record.csv"
    copy.write_bytes(story_path.read_bytes())
    with ReadOnlyRecord.open(copy) as reading, pytest.raises(ShopError, match="is the record itself"):
        export_record(reading, copy, VIENNA, ExportOptions(now_us=NOW_US))
    assert copy.read_bytes() == story_path.read_bytes()


@pytest.mark.parametrize("ending", ["xlsx", "csv"])
def test_an_export_that_is_stopped_leaves_nothing(
    reading: ReadOnlyRecord, tmp_path: Path, ending: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("shopclock.exchange.workbook.export.AT_A_TIME", 2)

    def stop(n: int) -> None:
        raise KeyboardInterrupt(n)

    with pytest.raises(KeyboardInterrupt):
        export_record(reading, tmp_path / f"sheet.{ending}", VIENNA, ExportOptions(now_us=NOW_US), stop)
    assert list(tmp_path.iterdir()) == []


def test_a_workbook_can_still_be_stopped_while_its_sheets_are_packed(reading: ReadOnlyRecord, tmp_path: Path) -> None:
    said: list[int] = []

    def stop(n: int) -> None:
        said.append(n)
        if len(said) == 3:
            raise Stopped

    with pytest.raises(Stopped):
        export_record(reading, tmp_path / "sheet.xlsx", VIENNA, ExportOptions(now_us=NOW_US), stop)
    assert said == [said[0]] * 3
    assert list(tmp_path.iterdir()) == []


def test_more_rows_than_a_sheet_holds_are_told_and_never_dropped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, reading: ReadOnlyRecord
) -> None:
    monkeypatch.setattr("shopclock.exchange.workbook.xlsx_file.MOST_ROWS", 5)
    with pytest.raises(ShopError, match="A sheet holds 5 rows"):
        export_record(reading, tmp_path / "sheet.xlsx", VIENNA, ExportOptions(now_us=NOW_US))
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("figure", [float("nan"), float("inf")])
def test_what_is_no_figure_never_gets_into_a_cell(tmp_path: Path, figure: float) -> None:
    column = STAGES.columns[5]
    with pytest.raises(ValueError, match="is not a figure"), Workbook(tmp_path / "sheet.xlsx", VIENNA) as book:
        book.write(Sheet("Spoilt", (type(column)(column.head, column.holds, 9, lambda row: row, "."),)), [figure])


def test_cells_hold_any_text_as_it_is(tmp_path: Path) -> None:
    texts = ["<r><t>x</t></r>", "_x0041_", " a ", "a&b<c>", "\U0001f52a", "x" * 300, '"', "line\nline", "\x07=1"]
    column = type(INTERVALS.columns[0])("Text", INTERVALS.columns[0].holds, 9, lambda row: row, ".")
    with Workbook(tmp_path / "sheet.xlsx", VIENNA) as book:
        book.write(Sheet("Texts", (column,)), texts)
    read = [row["Text"][1] for row in read_workbook(tmp_path / "sheet.xlsx")["Texts"]]
    assert [str(text).replace("_x005F_", "_") for text in read] == [cell_text(text) for text in texts]


@pytest.mark.parametrize("room", [0, 500, 3000])
def test_a_disk_that_gets_full_is_told_once_and_leaves_nothing(
    reading: ReadOnlyRecord, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, room: int
) -> None:
    """What XlsxWriter leaves behind must not complain either: a warning from a destructor fails this test."""

    class SmallDisk(Target):
        def write(self, data: bytes, /) -> int:
            if not self._given_up and self.tell() + len(data) > room:
                raise OSError(errno.ENOSPC, "No space left on device")
            return super().write(data)

    monkeypatch.setattr("shopclock.exchange.workbook.xlsx_file.Target", SmallDisk)
    with pytest.raises(ShopError, match="There is no room left"):
        export_record(reading, tmp_path / "sheet.xlsx", VIENNA, ExportOptions(now_us=NOW_US))
    gc.collect()
    assert list(tmp_path.iterdir()) == []
