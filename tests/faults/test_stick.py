"""A stick pulled out under an open record: all that was told as kept goes on, whatever comes back in its place."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.record.copies.copying import copy_to
from shopclock.record.file.guard import Away, NotInPlace
from shopclock.record.file.refuge import refuge_of
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.record.rescue.rescue import free_place, rescue
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Stage
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work import begin
from tests.faults import bevels
from tests.faults.disks import fill, small_disk
from tests.faults.stick import stick

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.faults.stick import Stick


class OnStick:
    """A record on a stick, its refuge in the user's folder, two presses told as kept."""

    def __init__(self, plugged: Stick) -> None:
        self.stick = plugged
        self.path = plugged.place / "shop" / "shop.shopclock"
        self.path.parent.mkdir()
        bevels.make(self.path)
        self.record = Record.open(self.path, SystemClock())
        refuge = refuge_of(self.record.file.shop_uuid, self.path)
        copy_to(self.path, refuge.base)
        self.record.file.kept = refuge.add
        self.kept: list[str] = []
        self.older = plugged.state("older")
        for _ in range(2):
            self.press()
        self.record.give_sign(self.record.clock.moment())

    def press(self) -> None:
        """Press once; what is told as kept is noted."""
        self.kept.append(press(self.record))

    def pulled_out(self) -> None:
        """Pull it out and press on: nothing is told as kept."""
        self.stick.pull_out()
        for _ in range(3):
            with pytest.raises(NotInPlace, match="gives errors"):
                self.press()
        assert self.why is Away.FAILS

    def back(self, image: Path) -> None:
        """Plug a stick in with these bytes."""
        self.stick.take_away()
        self.stick.plug_in(image)

    @property
    def why(self) -> Away | None:
        """What is wrong with the file now."""
        trouble = self.record.file.look()
        return trouble.why if trouble is not None else None


def press(record: Record) -> str:
    stage = next(stage for stage in record.floor.all(Stage) if stage.shop_work)
    return record.press("Shop work", lambda tx: begin.begin_shop_work(tx, stage))[0].uuid


def in_file(path: Path) -> set[str]:
    with ReadOnlyRecord.open(path) as reading:
        return {row.uuid for row in reading.reads.intervals()}


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[OnStick]:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    with stick(tmp_path) as plugged:
        made = OnStick(plugged)
        yield made
        made.record.close()


def test_pulled_out_all_that_was_told_as_kept_is_written_to_a_new_place(shop: OnStick, tmp_path: Path) -> None:
    shop.pulled_out()
    there = free_place(shop.record)
    assert there == tmp_path / "data" / "shopclock" / "shop goes on.shopclock"
    assert rescue(shop.record, there).missing == 0
    assert set(shop.kept) <= in_file(there)
    assert check(there) == []


def test_plugged_in_again_as_it_was_it_is_gone_on_with(shop: OnStick) -> None:
    shop.pulled_out()
    shop.back(shop.stick.image)
    assert shop.why is None
    shop.press()
    assert len(shop.kept) == 3
    shop.record.close()
    assert set(shop.kept) <= in_file(shop.path)
    assert check(shop.path) == []


def test_an_older_stick_in_its_place_is_told_and_left_and_nothing_is_lost(shop: OnStick) -> None:
    shop.pulled_out()
    shop.back(shop.older)
    assert shop.why is Away.OLDER
    with pytest.raises(NotInPlace, match="older state"):
        shop.press()
    there = free_place(shop.record)
    assert rescue(shop.record, there).missing == 0
    assert set(shop.kept) <= in_file(there)
    assert check(there) == []
    assert not set(shop.kept) & in_file(shop.path)
    assert check(shop.path) == []


def test_presses_of_another_computer_on_it_are_told_and_not_written_over(shop: OnStick) -> None:
    shop.pulled_out()
    shop.back(shop.stick.image)
    with closing(Record.open(shop.path, SystemClock())) as other:
        theirs = press(other)
    assert shop.why is Away.WRITTEN
    with pytest.raises(NotInPlace, match="Another program has written"):
        shop.press()
    assert {*shop.kept, theirs} <= in_file(shop.path)
    assert check(shop.path) == []


def test_where_the_new_place_is_full_too_it_is_told_and_the_next_place_has_all(shop: OnStick, tmp_path: Path) -> None:
    shop.pulled_out()
    with small_disk(tmp_path / "full", "1m") as full:
        fill(full)
        with pytest.raises(ShopError, match="is full"):
            rescue(shop.record, full / "shop.shopclock")
        assert [one.name for one in full.iterdir()] == ["hog"]
    assert shop.why is Away.FAILS
    there = free_place(shop.record)
    assert rescue(shop.record, there).missing == 0
    assert set(shop.kept) <= in_file(there)
    assert check(there) == []


def test_pulled_out_and_its_program_ended_the_next_start_has_all(shop: OnStick, tmp_path: Path) -> None:
    """The stick stays away; what lies in the user's folder is enough."""
    from shopclock.record.file.refuge import refuge_at
    from shopclock.record.rescue.rescue import write_refuge

    shop.pulled_out()
    shop.record.close()
    shop.stick.take_away()
    assert not list(shop.stick.place.iterdir())
    found = refuge_at(shop.path)
    assert found is not None
    write_refuge(found, tmp_path / "new" / "shop.shopclock")
    assert set(shop.kept) <= in_file(tmp_path / "new" / "shop.shopclock")
    assert check(tmp_path / "new" / "shop.shopclock") == []
