"""A spreadsheet program of Debian's opens the workbook and has the same figures in it."""

import shutil
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from shopclock.exchange.workbook.export import export_record
from shopclock.exchange.workbook.front_sheet import NAME, TABLE
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.record.read.read_only import ReadOnlyRecord
from tests.exchange import office
from tests.exchange.office import Sheets
from tests.exchange.read_workbook import Row, read_workbook
from tests.exchange.shop_story import NASTY, START_US

NOW_US = START_US + 12 * 3600 * 1_000_000

pytestmark = [
    pytest.mark.long,
    pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed"),
]


@pytest.fixture(scope="module")
def opened(story_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Sheets:
    folder = tmp_path_factory.mktemp("office")
    with ReadOnlyRecord.open(story_path) as reading:
        export_record(reading, folder / "sheet.xlsx", ZoneInfo("Europe/Vienna"), ExportOptions(now_us=NOW_US))
    return office.opened(folder / "sheet.xlsx")


def test_it_opens_with_every_row(opened: Sheets, reading: ReadOnlyRecord) -> None:
    assert list(opened) == [NAME, TABLE, "Intervals", "Batches", "Stages by batch", "Costs", "Pieces", "Readings"]
    filled = [row for row in opened["Intervals"] if any(kind for kind, _ in row)]
    assert len(filled) == 1 + sum(1 for _ in reading.reads.intervals())


def test_names_are_text_and_dates_are_dates(opened: Sheets) -> None:
    heads = [said for _, said in opened["Intervals"][0]]
    first = dict(zip(heads, opened["Intervals"][1], strict=False))
    assert first["Batch"] == ("string", "@SUM(A1)")
    assert first["Pattern"] == ("string", NASTY)
    assert first["Start (shop time)"] == ("date", "2026-10-24T21:04:00.12")
    assert first["Start (UTC)"] == ("date", "2026-10-24T19:04:00.12")
    assert first["Length (h:mm)"] == ("time", "PT00H02M00.000007S")


@pytest.mark.parametrize("sheet", ["Intervals", "Batches", "Stages by batch", "Costs", "Pieces"])
def test_each_number_is_the_same_to_its_last_digit(
    opened: Sheets, reading: ReadOnlyRecord, tmp_path: Path, sheet: str
) -> None:
    export_record(reading, tmp_path / "sheet.xlsx", ZoneInfo("Europe/Vienna"), ExportOptions(now_us=NOW_US))
    heads = [said for _, said in opened[sheet][0]]
    ours = read_workbook(tmp_path / "sheet.xlsx")[sheet]
    assert any(_numbers(row) for row in ours)
    for row, theirs in zip(ours, opened[sheet][1:], strict=False):
        found = {head: float(value) for head, (kind, value) in zip(heads, theirs, strict=False) if kind == "float"}
        assert found == pytest.approx(_numbers(row), rel=1e-14)


def _numbers(row: Row) -> dict[str, float]:
    """Return the cells that hold plain numbers: no dates, no lengths."""
    plain = {head: cell for head, cell in row.items() if head.endswith(("(min)", "(pieces)", "(count)", "(EUR)"))}
    return {head: float(value) for head, (_, value) in plain.items()}
