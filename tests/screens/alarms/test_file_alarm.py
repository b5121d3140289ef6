"""The file itself: taken away it has the whole screen before all else, and one press writes all of it elsewhere."""

from __future__ import annotations

import shutil
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.record.file.guard import Away, Unsettled
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.screens.alarms.presenter import AlarmPresenter
from shopclock.screens.alarms.state import AlarmVerb
from shopclock.screens.bench.state import Verb
from shopclock.shop.planning import orders
from shopclock.shop.values.entities import Interval, Pattern
from shopclock.views.button import Press
from tests.screens.alarms.stories import Alarmed

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


class Pulled(Alarmed):
    """A shop at work whose window is to go on elsewhere."""

    def settle(self) -> None:
        self.went_on: list[Path] = []
        self.alarms = AlarmPresenter(self.record, self.dialogs, self.at_bench, self.watch.usual_of, self.went_on.append)
        self.batch("Paring 95", 3)

    @property
    def told(self) -> list[str]:
        return [asked.words for asked in self.dialogs.asked if asked.kind == "tell"]


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Pulled]:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    (tmp_path / "shop").mkdir()
    made = Pulled.open(tmp_path / "shop" / "shop.shopclock")
    assert isinstance(made, Pulled)
    made.settle()
    yield made
    made.record.close()


def test_a_record_that_is_gone_is_said_before_all_else_and_goes_back_by_one_press(shop: Pulled) -> None:
    shop.record.path.unlink()
    state = shop.tick(0.5)
    assert state is not None
    assert (state.title, state.role) == ("The record is not at its place any more", "red")
    assert "This window holds all until" in state.line
    assert state.bottom == (), "no press could be kept"
    assert [button.title for button in state.answers] == ["Write all of it back", "To another place"]
    shop.alarms.press(Press(AlarmVerb.FILE_WRITE))
    assert shop.went_on == [shop.record.path]
    assert check(shop.record.path) == []
    assert shop.tick(0.5) is None


def test_a_press_on_a_record_that_is_gone_is_not_kept_and_told_on_the_whole_screen_alone(shop: Pulled) -> None:
    shop.start("Grind bevels")
    before = {(interval.uuid, interval.running) for interval in shop.record.floor.all(Interval)}
    shop.record.path.unlink()
    shop.bench.press(Press(Verb.STOP))
    assert shop.told == []
    assert {(interval.uuid, interval.running) for interval in shop.record.floor.all(Interval)} == before
    assert shop.alarms.state() is not None


def test_an_older_state_is_told_as_that_and_all_goes_on_in_the_users_folder(shop: Pulled, tmp_path: Path) -> None:
    shop.record.rest()
    shutil.copy(shop.record.path, tmp_path / "older")
    pattern = next(iter(shop.record.floor.all(Pattern)))
    shop.record.press("Order", lambda tx: orders.take_order(tx, "Ann", pattern, 2))
    (tmp_path / "older").replace(shop.record.path)
    state = shop.tick(0.5)
    assert state is not None
    assert state.title == "An older state of the record has taken its place"
    assert "A program that keeps folders alike may have put it there. Its newest press is of" in state.line
    shop.alarms.press(Press(AlarmVerb.FILE_WRITE))
    (there,) = shop.went_on
    assert there == tmp_path / "data" / "shopclock" / "shop goes on.shopclock"
    with ReadOnlyRecord.open(there) as reading:
        assert [order.who for order in reading.floor.all(orders.CustomerOrder)] == ["Ann"]
    assert check(there) == []


def test_another_programs_presses_are_opened_by_one_press(shop: Pulled) -> None:
    with closing(Record.open(shop.record.path, shop.clock)) as other:
        pattern = next(iter(other.floor.all(Pattern)))
        other.press("Order", lambda tx: orders.take_order(tx, "Ann", pattern, 2))
    state = shop.tick(0.5)
    assert state is not None
    assert state.title == "Another program has pressed in this record"
    assert [button.title for button in state.answers] == ["Open it again"]
    shop.alarms.press(Press(AlarmVerb.FILE_AGAIN))
    assert shop.went_on == [shop.record.path]


def test_what_became_of_a_press_at_which_the_disk_failed_is_said_once_it_is_known(shop: Pulled) -> None:
    shop.record.file.unsettled = Unsettled("some-uuid", "Stop")
    shop.record.file.fails()
    state = shop.alarms.state()
    assert state is not None
    assert state.title == "The disk of the record gives errors"
    assert "Whether “Stop” is kept there is not known yet." in state.line
    shop.tick(0.5)  # the disk works again
    assert shop.record.file.trouble is None
    told = shop.alarms.state()
    assert told is not None
    assert told.title == "The disk works again. “Stop” was not kept, all before is."
    shop.alarms.press(Press(AlarmVerb.FILE_SEEN))
    assert shop.record.file.told == ""


def test_where_it_cannot_be_written_that_is_told_and_the_alarm_stays(shop: Pulled, tmp_path: Path) -> None:
    shop.record.path.unlink()
    shop.tick(0.5)
    (tmp_path / "there").write_text("a letter", encoding="utf-8")
    shop.dialogs.answers = [str(tmp_path / "there")]
    shop.alarms.press(Press(AlarmVerb.FILE_TYPED))
    assert shop.went_on == []
    assert "is there already. Nothing was written" in shop.told[-1]
    assert shop.record.file.trouble is not None
    assert shop.record.file.trouble.why is Away.GONE
