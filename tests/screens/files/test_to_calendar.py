"""The calendar by one press: the same file each time, and where it lies is told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from icalendar import Calendar

from shopclock.screens.files.to_calendar import NAME, ToCalendar
from shopclock.screens.long_work.background import AtOnce
from shopclock.shop.setup import week
from tests.fake_dialogs import FakeDialogs
from tests.screens.plan.plan_shop import timed_shop

if TYPE_CHECKING:
    from pathlib import Path


def test_it_is_written_beside_the_window_and_renewed_at_its_place(tmp_path: Path) -> None:
    shop, dialogs = timed_shop(tmp_path), FakeDialogs()
    calendar = ToCalendar(shop.record, dialogs, AtOnce(), tmp_path)
    calendar.write()
    assert (
        dialogs.asked[-1].words
        == f"The calendar is {NAME}, in {tmp_path}. Import it there again when the plan changes."
    )
    evenings = len(Calendar.from_ical((tmp_path / NAME).read_bytes()).walk("VEVENT"))
    assert evenings > 1
    for hours in week.week(shop.floor):
        shop.press(lambda tx, hours=hours: week.drop_hours(tx, hours))
    calendar.write()
    assert "It has no plan in it: The shop's week has no hours yet" in dialogs.asked[-1].words
    events = Calendar.from_ical((tmp_path / NAME).read_bytes()).walk("VEVENT")
    assert [str(event.get("STATUS", "")) for event in events] == ["CANCELLED"] * evenings
    shop.close()


def test_a_folder_that_is_gone_is_told(tmp_path: Path) -> None:
    shop, dialogs = timed_shop(tmp_path), FakeDialogs()
    ToCalendar(shop.record, dialogs, AtOnce(), tmp_path / "gone").write()
    assert "There is no folder" in dialogs.asked[-1].words
    shop.close()
