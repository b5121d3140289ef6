"""The record taken away under a window: no press is told as kept that is nowhere, and all of it goes on elsewhere."""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.record.copies.daily import keep_copy
from shopclock.record.file.engine import log_of
from shopclock.record.file.guard import Away, NotInPlace, Trouble
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.record.rescue.moved import goes_on_at
from shopclock.record.rescue.rescue import free_place, rescue
from shopclock.shop.planning import orders
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Interval, Stage
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work import begin
from tests.faults import bevels

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

NOW_US = 1_796_000_000_000_000


class Pressing:
    """A record in a folder of its own, with a copy as each closing leaves one; presses told as kept."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "shop"
        self.folder.mkdir()
        self.path = self.folder / "shop.shopclock"
        Record.open(self.path, SystemClock(), make=True).close()
        self.older = folder / "older"
        shutil.copy(self.path, self.older)
        bevels.make(self.path)
        keep_copy(self.path, NOW_US)
        self.record = Record.open(self.path, SystemClock())
        self.record.give_sign(self.record.clock.moment())
        self.kept: list[str] = []

    def press(self) -> None:
        """Press once; what is told as kept is noted."""
        stage = next(stage for stage in self.record.floor.all(Stage) if stage.shop_work)
        begun, _ = self.record.press("Shop work", lambda tx: begin.begin_shop_work(tx, stage))
        self.kept.append(begun.uuid)

    def order_and_undo(self) -> None:
        """Take two orders, take one back, put it back, take it back."""
        pattern = next(iter(self.record.floor.all(orders.Pattern)))
        for who in ("Ann", "Ben"):
            self.record.press("Order", lambda tx, who=who: orders.take_order(tx, who, pattern, 2))
        self.record.undo()
        self.record.put_back()
        self.record.undo()

    def order_and_put_away(self) -> None:
        """The same, and have the log written into the file as in a pause."""
        self.order_and_undo()
        self.record.rest()


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Pressing]:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    made = Pressing(tmp_path)
    yield made
    made.record.close()


def in_file(path: Path) -> set[str]:
    with ReadOnlyRecord.open(path) as reading:
        return {row.uuid for row in reading.reads.intervals()}


def deleted(shop: Pressing) -> None:
    shop.path.unlink()


def deleted_with_log(shop: Pressing) -> None:
    for path in shop.folder.glob("shop.shopclock*"):
        path.unlink()


def renamed(shop: Pressing) -> None:
    shop.path.rename(shop.path.with_name("other name"))


def replaced_by_older(shop: Pressing) -> None:
    shutil.copy(shop.older, shop.folder / "new")
    (shop.folder / "new").replace(shop.path)


def replaced_by_another_shops(shop: Pressing) -> None:
    bevels.make(shop.folder / "new")
    (shop.folder / "new").replace(shop.path)


def replaced_by_a_letter(shop: Pressing) -> None:
    (shop.folder / "new").write_text("Dear customer", encoding="utf-8")
    (shop.folder / "new").replace(shop.path)


def written_over_by_older(shop: Pressing) -> None:
    shop.path.write_bytes(shop.older.read_bytes())


def emptied(shop: Pressing) -> None:
    os.truncate(shop.path, 0)


def log_emptied(shop: Pressing) -> None:
    os.truncate(log_of(shop.path), 0)


def folder_renamed(shop: Pressing) -> None:
    shop.folder.rename(shop.folder.with_name("elsewhere"))


def folder_removed(shop: Pressing) -> None:
    shutil.copytree(shop.folder / "shop copies", shop.folder.with_name("copies aside"))
    shutil.rmtree(shop.folder)


WAYS: dict[Callable[[Pressing], None], tuple[Away, ...]] = {
    deleted: (Away.GONE,),
    deleted_with_log: (Away.GONE,),
    renamed: (Away.GONE,),
    replaced_by_older: (Away.OLDER,),
    replaced_by_another_shops: (Away.OTHER,),
    replaced_by_a_letter: (Away.OTHER, Away.SPOILT),
    written_over_by_older: (Away.OLDER, Away.SPOILT),
    emptied: (Away.SPOILT,),
    log_emptied: (Away.SPOILT,),
    folder_renamed: (Away.GONE,),
    folder_removed: (Away.GONE,),
}
"""Ways to take a record away, each with what it may be told as."""


@pytest.mark.parametrize("put_away", [False, True], ids=["log full", "log put away"])
@pytest.mark.parametrize("take", WAYS, ids=lambda take: take.__name__)
def test_a_record_taken_away_is_told_and_all_that_was_kept_goes_on_elsewhere(
    shop: Pressing, take: Callable[[Pressing], None], put_away: bool, tmp_path: Path
) -> None:
    shop.press()
    (shop.order_and_put_away if put_away else shop.order_and_undo)()
    if not (put_away and take is log_emptied):
        shop.press()
    take(shop)
    before = sorted(path.name for path in tmp_path.rglob("*") if path.is_file())
    for _ in range(3):
        with pytest.raises(NotInPlace, match="Nothing is kept there"):
            shop.press()
    trouble = shop.record.file.trouble
    assert trouble is not None
    assert trouble.why in WAYS[take]
    shop.record.give_sign(shop.record.clock.moment())
    assert sorted(path.name for path in tmp_path.rglob("*") if path.is_file()) == before, "nothing is made there"
    on_floor = {interval.uuid for interval in shop.record.floor.all(Interval)}
    rescued = rescue(shop.record, tmp_path / "new place" / "shop.shopclock")
    assert rescued.missing == 0
    assert set(shop.kept) | on_floor <= in_file(rescued.path)
    assert check(rescued.path) == []
    assert sorted(path.name for path in rescued.path.parent.iterdir()) == ["shop.shopclock", "shop.shopclock.life"]
    assert goes_on_at(shop.path) == rescued.path
    with closing(Record.open(rescued.path, SystemClock())) as record:
        assert [order.who for order in record.floor.all(orders.CustomerOrder)] == ["Ann"]
        running = set(record.floor.running)
        record.undo()
        record.put_back()
        assert set(record.floor.running) == running
        record.press("Stop", begin.stop)
    assert check(rescued.path) == []


@pytest.mark.parametrize(
    "take", [lambda _: None, lambda shop: os.utime(shop.path), lambda shop: log_of(shop.path).unlink(),
             lambda shop: shop.folder.joinpath("shop.shopclock-shm").unlink(), lambda shop: shop.path.chmod(0o400)],
    ids=["nothing", "touched", "log deleted", "index deleted", "made read-only"],
)  # fmt: skip
def test_what_takes_nothing_away_is_not_told_and_all_is_in_the_file(
    shop: Pressing, take: Callable[[Pressing], object]
) -> None:
    shop.press()
    take(shop)
    for _ in range(3):
        shop.press()
    assert shop.record.file.trouble is None
    shop.record.close()
    assert set(shop.kept) <= in_file(shop.path)
    assert check(shop.path) == []
    shop.record = Record.open(shop.path, SystemClock())


def test_a_file_put_back_as_it_was_is_gone_on_with(shop: Pressing) -> None:
    shop.press()
    aside = shop.path.with_name("aside")
    shop.path.rename(aside)
    with pytest.raises(NotInPlace):
        shop.press()
    assert shop.record.file.trouble is not None
    assert shop.record.file.trouble.name == aside
    aside.rename(shop.path)
    shop.press()
    shop.record.close()
    assert set(shop.kept) <= in_file(shop.path)
    shop.record = Record.open(shop.path, SystemClock())


@pytest.mark.parametrize("fails", [False, True], ids=["gone", "failing"])
def test_a_stick_that_is_plugged_in_again_is_gone_on_with(shop: Pressing, tmp_path: Path, fails: bool) -> None:
    """Its files have other numbers then, and the log is with them; whoever had them open has nothing."""
    shop.press()
    shutil.copytree(shop.folder, tmp_path / "unplugged")
    shutil.rmtree(shop.folder)
    with pytest.raises(NotInPlace):
        shop.press()
    if fails:
        shop.record.file.trouble = Trouble(Away.FAILS)
        shop.record.file._answers = lambda: False  # type: ignore[method-assign]  # what was open never works again
    (tmp_path / "unplugged").rename(shop.folder)
    told: list[str] = []
    shop.record.file.adopted = lambda: told.append("another file")
    shop.press()
    assert told == ["another file"]
    shop.record.close()
    assert set(shop.kept) <= in_file(shop.path)
    assert check(shop.path) == []
    shop.record = Record.open(shop.path, SystemClock())


def test_a_copy_that_holds_all_is_gone_on_with(shop: Pressing) -> None:
    """Such as a program leaves that keeps folders alike, and writes a file anew."""
    shop.order_and_put_away()
    shutil.copy(shop.path, shop.folder / "new")
    (shop.folder / "new").replace(shop.path)
    shop.press()
    shop.record.close()
    assert set(shop.kept) <= in_file(shop.path)
    assert check(shop.path) == []
    shop.record = Record.open(shop.path, SystemClock())


def test_a_press_that_finds_the_file_gone_only_afterwards_is_told_to_be_in_memory_alone(
    shop: Pressing, tmp_path: Path
) -> None:
    heard: list[int] = []
    shop.record.on_change(lambda: heard.append(1))
    stage = next(stage for stage in shop.record.floor.all(Stage) if stage.shop_work)

    def meanwhile(tx: object) -> Interval:
        begun = begin.begin_shop_work(tx, stage)  # type: ignore[arg-type]  # a turn is what it is called with
        shop.record.file.look = lambda: shop.path.exists() and shop.path.unlink()  # type: ignore[method-assign,func-returns-value]  # as if in between
        return begun

    with pytest.raises(NotInPlace, match="The last press is in memory alone"):
        shop.record.press("Shop work", meanwhile)
    del shop.record.file.look
    assert heard == [1]
    (begun,) = shop.record.floor.running.values()
    assert begun.uuid in in_file(rescue(shop.record, tmp_path / "new").path)


def test_another_programs_press_is_not_written_over(shop: Pressing) -> None:
    shop.press()
    with closing(Record.open(shop.path, SystemClock())) as other:
        pattern = next(iter(other.floor.all(orders.Pattern)))
        order, _ = other.press("Order", lambda tx: orders.take_order(tx, "Ann", pattern, 2))
    for _ in range(2):
        with pytest.raises(NotInPlace, match="Another program has written"):
            shop.press()
    assert shop.record.file.trouble is not None
    assert shop.record.file.trouble.why is Away.WRITTEN
    with closing(sqlite3.connect(shop.path)) as connection:
        assert connection.execute("SELECT uuid FROM customer_order").fetchall() == [(order.uuid,)]
    shop.record.close()
    assert check(shop.path) == []
    shop.record = Record.open(shop.path, SystemClock())


def test_a_record_that_is_gone_goes_back_to_its_place_and_another_goes_to_the_users_folder(
    shop: Pressing, tmp_path: Path
) -> None:
    shop.press()
    shop.path.unlink()
    shop.record.file.look()
    assert free_place(shop.record) == shop.path
    replaced_by_older(shop)
    shop.record.file.look()
    assert free_place(shop.record) == tmp_path / "data" / "shopclock" / "shop goes on.shopclock"
    rescue(shop.record, free_place(shop.record))
    assert free_place(shop.record).name == "shop goes on (2).shopclock"
    with pytest.raises(ShopError, match="is there already"):
        rescue(shop.record, tmp_path / "data" / "shopclock" / "shop goes on.shopclock")


def test_without_any_sound_state_it_is_said_and_nothing_is_left(shop: Pressing, tmp_path: Path) -> None:
    shop.press()
    shutil.rmtree(shop.folder / "shop copies")
    emptied(shop)
    shop.record.file.look()
    with pytest.raises(ShopError, match="No sound state of"):
        rescue(shop.record, tmp_path / "new place" / "shop.shopclock")
    assert list((tmp_path / "new place").iterdir()) == []


def test_from_a_copy_that_is_too_old_what_is_missing_is_counted(shop: Pressing, tmp_path: Path) -> None:
    for _ in range(3):
        shop.press()
    shop.record.close()
    shop.record = Record.open(shop.path, SystemClock())
    shop.press()
    emptied(shop)
    shop.record.file.look()
    rescued = rescue(shop.record, tmp_path / "new")
    assert rescued.missing == 4
    assert check(rescued.path) == []
