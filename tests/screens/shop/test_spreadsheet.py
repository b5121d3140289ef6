"""Shop, Spreadsheet: the whole record by one press, a part of it by a few more."""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING

import pytest

from shopclock.screens.files.exporting import Exporting
from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.shop.pages.spreadsheet import MOST, SpreadsheetPage
from shopclock.screens.shop.presenter import ShopPresenter
from tests.exchange.read_workbook import read_workbook
from tests.screens.batches.reading import press, said, tile
from tests.screens.batches.story import routes

if TYPE_CHECKING:
    from pathlib import Path

    from tests.fake_dialogs import FakeDialogs
    from tests.screens.batches.story import Gone, Shop

YEAR_MIN = 365 * 24 * 60


class Sheets:
    """Shop at its page of spreadsheets, and what was written."""

    def __init__(self, shop: Shop, dialogs: FakeDialogs, gone: Gone, folder: Path) -> None:
        exporting = Exporting(shop.record, dialogs, AtOnce(), folder)
        files = {("Spreadsheet", "all of it or a part"): lambda stack: SpreadsheetPage(stack, exporting)}
        self.folder, self.dialogs = folder, dialogs
        self.presenter = ShopPresenter(shop.record, dialogs, routes(), gone, files)
        press(self.presenter, "In and out", "Spreadsheet")

    def choose(self, title: str, *answers: str) -> None:
        self.dialogs.answers = list(answers)
        press(self.presenter, title)
        assert self.dialogs.answers == []

    def batches(self) -> set[str]:
        """The batches of the workbook that a press writes."""
        press(self.presenter, "Write it")
        (path,) = self.folder.glob("*.xlsx")
        assert self.dialogs.asked[-1].words == f"The spreadsheet is {path.name}, in {self.folder}."
        found = {str(row["Batch"][1]) for row in read_workbook(path)["Batches"]}
        path.unlink()
        return found


@pytest.fixture
def sheets(shop: Shop, dialogs: FakeDialogs, gone: Gone, tmp_path: Path) -> Sheets:
    """Two batches, a year apart: 26-01 and 27-01."""
    pattern = shop.pattern("Paring 95")
    for later in (YEAR_MIN, 1):
        shop.work(shop.floor.steps(shop.batch(pattern, 3).id)[0], 40)
        shop.clock.go(later)
    folder = tmp_path / "documents"
    folder.mkdir()
    return Sheets(shop, dialogs, gone, folder)


def test_one_press_writes_the_whole_shop_as_a_workbook(sheets: Sheets) -> None:
    assert tile(sheets.presenter, "What is in it").detail == "the whole shop"
    assert sheets.batches() == {"26-01", "27-01"}


@pytest.mark.parametrize(
    ("answers", "told", "batches"),
    [
        (("whole",), "the whole shop", {"26-01", "27-01"}),
        (("year",), "the year 2027", {"27-01"}),
        (("last",), "the year 2026", {"26-01"}),
        (("days", "2026-09-01", "2026-12-31"), "from 2026-09-01 to 2026-12-31", {"26-01"}),
        (("days", "2026-01-01", "2027-12-31"), "from 2026-01-01 to 2027-12-31", {"26-01", "27-01"}),
    ],
)
def test_a_part_is_chosen_by_few_presses(
    sheets: Sheets, answers: tuple[str, ...], told: str, batches: set[str]
) -> None:
    sheets.choose("What is in it", *answers)
    assert tile(sheets.presenter, "What is in it").detail == told
    assert sheets.batches() == batches


def test_one_batch_is_chosen_by_its_name(sheets: Sheets, shop: Shop) -> None:
    number = next(batch.id for batch in shop.floor.open_batches() if batch.name == "26-01")
    sheets.choose("What is in it", "batch", str(number))
    assert sheets.batches() == {"26-01"}


def test_where_there_are_many_batches_an_older_one_is_typed(sheets: Sheets, shop: Shop) -> None:
    pattern = shop.pattern("Oyster")
    for _ in range(MOST):
        shop.batch(pattern, 1)
    sheets.choose("What is in it", "batch", "typed", "26-01 ")
    assert sheets.batches() == {"26-01"}
    sheets.choose("What is in it", "batch", "typed", "99-01")
    assert sheets.dialogs.asked[-1].words == "There is no batch 99-01."


@pytest.mark.parametrize(
    ("answers", "sentence"),
    [
        (("days", "soon", "2026-12-31"), "soon is no day. Type it as 2026-03-07. Nothing was written."),
        (("days", "2026-12-31", "2026-01-01"), "2026-01-01 lies before 2026-12-31. Nothing was written."),
    ],
)
def test_days_that_are_none_are_told_and_change_nothing(
    sheets: Sheets, answers: tuple[str, ...], sentence: str
) -> None:
    sheets.choose("What is in it", *answers)
    assert sheets.dialogs.asked[-1].words.startswith(sentence)
    assert tile(sheets.presenter, "What is in it").detail == "the whole shop"


def test_days_without_work_are_told_and_nothing_is_written(sheets: Sheets) -> None:
    sheets.choose("What is in it", "days", "2020-01-01", "2020-12-31")
    press(sheets.presenter, "Write it")
    assert sheets.dialogs.asked[-1].words == (
        "The whole shop, work begun from 2020-01-01 to 2020-12-31 has no work in it. Nothing was written."
    )
    assert list(sheets.folder.iterdir()) == []


@pytest.mark.parametrize(("kind", "separator"), [("semicolons", ";"), ("commas", ","), ("tabs", "\t")])
def test_a_csv_has_the_signs_that_were_chosen(sheets: Sheets, kind: str, separator: str) -> None:
    sheets.choose("Kind of file", kind)
    assert said(sheets.presenter).endswith("A CSV file has one sheet: every stretch of work.")
    press(sheets.presenter, "Write it")
    (path,) = sheets.folder.glob("*.csv")
    with path.open(encoding="utf-8-sig", newline="") as file:
        first = next(csv.DictReader(file, delimiter=separator))
    assert first["Length (min)"] == ("40,0" if kind == "semicolons" else "40.0")
    assert first["Length (h:mm)"] == "0:40:00"
