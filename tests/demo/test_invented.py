"""The demo shop says that it is one wherever its figures are shown; another shop says nothing of the kind."""

from __future__ import annotations

import tomllib
import zipfile
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from icalendar import Calendar

from shopclock.demo.shop import demo_shop
from shopclock.demo.write import default_end_us
from shopclock.exchange.calendar import write_calendar
from shopclock.exchange.paper.page import A4, PaperPage, stamped
from shopclock.exchange.workbook.export import export_record
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.places import resource
from shopclock.record.copies.archive import README, archive
from shopclock.record.copies.unarchive import unarchive
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.screens.files.on_paper import OnPaper
from shopclock.shop.state.demo_mark import INVENTED, demo_said
from shopclock.shop.state.wording import zone_of
from shopclock.tour.window import StoppedClock
from tests.fake_dialogs import FakeDialogs
from tests.walks.walk import at_the_window, new_record

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from shopclock.exchange.paper.page import PaperSize

NOW_US = default_end_us(demo_shop())


@pytest.fixture(scope="module")
def demo(copied_demo: Callable[..., Path]) -> Path:
    return copied_demo()


def test_the_window_says_it_in_its_title_and_in_its_header(demo: Path, tmp_path: Path) -> None:
    with at_the_window(demo, NOW_US) as hand:
        assert hand.frame.windowTitle() == f"Shopclock: {INVENTED}"
        assert INVENTED in hand.read
    with at_the_window(new_record(tmp_path / "own.shopclock")) as hand:
        assert INVENTED not in hand.frame.windowTitle()
        assert INVENTED not in hand.read


def test_each_paper_says_it_in_its_margin() -> None:
    pages = [PaperPage(A4, ()), PaperPage(A4, ())]
    assert [page.texts for page in stamped(pages, INVENTED)] == [(INVENTED,), (INVENTED,)]
    assert stamped(pages, "") == tuple(pages)


def test_the_workbook_says_it_on_its_front(demo: Path, tmp_path: Path) -> None:
    path = tmp_path / "all.xlsx"
    with ReadOnlyRecord.open(demo) as reading:
        export_record(reading, path, zone_of(reading.floor), ExportOptions(now_us=NOW_US))
    with zipfile.ZipFile(path) as book:
        front = book.read("xl/worksheets/sheet1.xml").decode()
    assert INVENTED[1:] in front


def test_the_calendar_says_it_of_itself_and_in_each_entry(demo: Path, tmp_path: Path) -> None:
    path = tmp_path / "plan.ics"
    with ReadOnlyRecord.open(demo) as reading:
        write_calendar(reading, path, NOW_US)
    told = Calendar.from_ical(path.read_bytes())
    events = told.walk("VEVENT")
    assert str(told["description"]) == INVENTED
    assert events
    assert all(str(event["description"]).endswith(INVENTED) for event in events)


def test_the_archive_says_it_first_and_a_record_made_of_it_is_the_demo_too(demo: Path, tmp_path: Path) -> None:
    path, back = tmp_path / "demo archive.zip", tmp_path / "back.shopclock"
    archive(demo, path, NOW_US)
    with zipfile.ZipFile(path) as book:
        assert book.read(README).decode().startswith(f"This is {INVENTED}.")
    unarchive(path, back)
    with ReadOnlyRecord.open(back) as reading:
        assert demo_said(reading.floor) == INVENTED


class Noted:
    """Paper that is only noted."""

    def __init__(self) -> None:
        self.texts: list[str] = []

    def to_pdf(self, pages: Sequence[PaperPage], _path: Path, _title: str) -> None:
        self.texts += [text for page in pages for text in page.texts]

    def to_printer(self, _pages: Sequence[PaperPage], _name: str, title: str) -> None:
        raise AssertionError(title)

    def printers(self) -> tuple[str, ...]:
        return ()

    def size_here(self) -> PaperSize:
        return A4


def test_what_the_window_puts_on_paper_says_it(demo: Path, tmp_path: Path) -> None:
    output = Noted()
    with closing(Record.open(demo, StoppedClock(NOW_US))) as record:
        OnPaper(record, FakeDialogs(), output, tmp_path).put("Card", lambda size: [PaperPage(size, ())])
    assert output.texts == [INVENTED]


@pytest.mark.parametrize("folder", [("routes",), ("demo", "routes")])
def test_each_limit_wait_and_heat_of_a_route_says_that_it_is_common_practice(folder: tuple[str, ...]) -> None:
    """There is no source to name for any of them; the maker's own figures take the mark away."""
    told = {"[[step]]": ("wait", "setting", "coldest", "warmest"), "[[rule]]": ("limit",)}
    unsaid = []
    for path in sorted(resource(*folder).glob("*.toml")):
        route = tomllib.loads(path.read_text("utf-8"))
        readings = [reading for step in route["step"] for reading in step.get("reading", [])]
        groups = ((route["step"], told["[[step]]"]), (route.get("rule", []), told["[[rule]]"]))
        groups = (*groups, (readings, ("low", "high", "target")))
        unsaid += [
            (path.name, one)
            for things, names in groups
            for one in things
            if set(names) & set(one) and not one.get("common_practice")
        ]
    assert unsaid == []
