"""A spreadsheet program of Debian's opens the workbook and has the same figures in it."""

import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree as ET
from zoneinfo import ZoneInfo

import pytest

from shopclock.exchange.export import export_record
from shopclock.exchange.front_sheet import NAME
from shopclock.exchange.options import Options
from shopclock.record.reading import Reading
from tests.exchange.read_workbook import Row, read_workbook
from tests.exchange.shop_story import NASTY, START_US

NOW_US = START_US + 12 * 3600 * 1_000_000
_OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
_VALUES = {"float": "value", "date": "date-value", "time": "time-value"}

pytestmark = [
    pytest.mark.long,
    pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed"),
]


@pytest.fixture(scope="module")
def opened(story_path: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[list[tuple[str, str]]]]:
    """Return each sheet's rows as LibreOffice has them: the kind of each cell and its value."""
    folder = tmp_path_factory.mktemp("office")
    with Reading.open(story_path) as reading:
        export_record(reading, folder / "sheet.xlsx", ZoneInfo("Europe/Vienna"), Options(now_us=NOW_US))
    profile = f"-env:UserInstallation=file://{folder}/profile"
    command = ["soffice", profile, "--headless", "--convert-to", "fods", "--outdir", folder, folder / "sheet.xlsx"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    assert "error" not in (done.stdout + done.stderr).lower()
    tree = ET.parse(folder / "sheet.fods")  # noqa: S314  # written by the line before
    return {
        str(table.get(_TABLE + "name")): [list(_cells(row)) for row in table.iter(_TABLE + "table-row")]
        for table in tree.iter(_TABLE + "table")
    }


def _cells(row: ET.Element) -> Iterator[tuple[str, str]]:
    for cell in row.iter(_TABLE + "table-cell"):
        kind = cell.get(_OFFICE + "value-type", "")
        said = "\n".join("".join(line.itertext()) for line in cell.iter(_TEXT + "p"))
        value = cell.get(_OFFICE + _VALUES[kind], "") if kind in _VALUES else said
        for _ in range(int(cell.get(_TABLE + "number-columns-repeated", "1"))):
            yield kind, value


def test_it_opens_with_every_row(opened: dict[str, list[list[tuple[str, str]]]], reading: Reading) -> None:
    assert list(opened) == [NAME, "Intervals", "Batches", "Minutes per piece", "Costs", "Pieces", "Readings"]
    filled = [row for row in opened["Intervals"] if any(kind for kind, _ in row)]
    assert len(filled) == 1 + sum(1 for _ in reading.reads.intervals())


def test_names_are_text_and_dates_are_dates(opened: dict[str, list[list[tuple[str, str]]]]) -> None:
    heads = [said for _, said in opened["Intervals"][0]]
    first = dict(zip(heads, opened["Intervals"][1], strict=False))
    assert first["Batch"] == ("string", "@SUM(A1)")
    assert first["Pattern"] == ("string", NASTY)
    assert first["Start (shop time)"] == ("date", "2026-10-24T21:04:00.12")
    assert first["Start (UTC)"] == ("date", "2026-10-24T19:04:00.12")
    assert first["Length (h:mm:ss)"] == ("time", "PT00H02M00.000007S")


@pytest.mark.parametrize("sheet", ["Intervals", "Minutes per piece", "Pieces"])
def test_each_number_is_the_same_to_its_last_digit(
    opened: dict[str, list[list[tuple[str, str]]]], reading: Reading, tmp_path: Path, sheet: str
) -> None:
    export_record(reading, tmp_path / "sheet.xlsx", ZoneInfo("Europe/Vienna"), Options(now_us=NOW_US))
    heads = [said for _, said in opened[sheet][0]]
    ours = read_workbook(tmp_path / "sheet.xlsx")[sheet]
    assert any(_numbers(row) for row in ours)
    for row, theirs in zip(ours, opened[sheet][1:], strict=False):
        found = {head: float(value) for head, (kind, value) in zip(heads, theirs, strict=False) if kind == "float"}
        assert found == pytest.approx(_numbers(row), rel=1e-14)


def _numbers(row: Row) -> dict[str, float]:
    """Return the cells that hold plain numbers: no dates, no lengths."""
    plain = {head: cell for head, cell in row.items() if head.endswith(("(min)", "(pieces)", "(count)"))}
    return {head: float(value) for head, (_, value) in plain.items()}
