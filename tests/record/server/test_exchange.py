"""Benches and a real server: what is pressed at one is at the other, and nothing is lost whatever the wire does."""

import time
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from shopclock.record.check.check import check
from shopclock.record.press.record import Record
from shopclock.record.server import joining_in, status
from shopclock.shop.values.entities import Bench, Stage
from shopclock.shop.work import begin
from tests.record.desk.at_desk import Desk, joined, rename
from tests.record.joining.several import rows_of
from tests.record.machine import Machine
from tests.record.on_disk import DiskShop


def test_a_press_at_one_bench_is_at_the_other(tmp_path: Path, where: str) -> None:
    shop = DiskShop(tmp_path, 3, clock=Machine())
    joining_in.init(shop.record, where)
    kitchen = tmp_path / "kitchen.shopclock"
    kitchens = Machine(boot_id="kitchen")
    joining_in.join(kitchen, where, kitchens)
    for clock in (shop.clock, kitchens):
        clock.on(5)
    started = shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    joining_in.exchange(shop.record, where)
    with closing(Record.open(kitchen, kitchens)) as there:
        joining_in.exchange(there, where)
        assert [i.id for i in there.floor.running.values()] == [started.id]
        assert [bench.name for bench in there.floor.all(Bench)] == ["", "Bench 2"]
        kitchens.on(7)
        there.press("Stop", begin.stop)
        standing = joining_in.exchange(there, where)
        assert (standing.sentence, standing.to_take) == ("", 0)
    joining_in.exchange(shop.record, where)
    assert not shop.floor.running
    shop.close()
    assert rows_of(shop.path) == rows_of(kitchen)
    assert check(shop.path) == check(kitchen) == []


def test_what_a_desk_pressed_comes_to_all_benches_by_the_one_that_it_comes_back_to(tmp_path: Path, where: str) -> None:
    """The copy was taken along before there was a server; it is the desk's at each bench, and its Undo too."""
    shop = DiskShop(tmp_path, 3, clock=Machine())
    desk = Desk(shop)
    rename(desk, "Saw by the line")
    joining_in.init(shop.record, where)
    kitchen = tmp_path / "kitchen.shopclock"
    joining_in.join(kitchen, where, Machine(boot_id="kitchen"))
    with closing(Record.open(kitchen, Machine(boot_id="kitchen"))) as there:
        assert {bench.name for bench in there.floor.all(Bench)} == {"", "Bench 2", "Desk"}
        joined(shop, desk)
        joining_in.exchange(shop.record, where)
        joining_in.exchange(there, where)
        bench = next(bench for bench in there.floor.all(Bench) if bench.name == "Desk")
        assert there.level()[bench.id] == 1
        assert next(there.floor.all(Stage)).name == "Saw by the line"
        shop.record.undo()
        joining_in.exchange(shop.record, where)
        joining_in.exchange(there, where)
        assert next(there.floor.all(Stage)).name != "Saw by the line"
    for side in (shop, desk):
        side.close()
    assert rows_of(shop.path) == rows_of(kitchen)
    assert check(shop.path) == check(kitchen) == []


def test_the_standing_says_what_waits_and_the_times_of_this_machine(
    tmp_path: Path, where: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TZ", "XST-5:45")
    time.tzset()
    try:
        shop = DiskShop(tmp_path, 3, clock=Machine())
        joining_in.init(shop.record, where)
        kitchen = tmp_path / "kitchen.shopclock"
        joining_in.join(kitchen, where, Machine(boot_id="kitchen"))
        joining_in.exchange(shop.record, where)
        shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
        shop.close()
        before = datetime.now(UTC)
        found = list(status.lines(shop.path, where))
    finally:
        monkeypatch.undo()
        time.tzset()
    assert found[-1] == "1 press to send of First bench."
    assert [line.partition(": heard ")[0] for line in found[:-1]] == ["First bench", "Bench 2"]
    for line in found[:-1]:
        said = line.partition(": heard ")[2].removesuffix(", 1 to take")
        assert said.endswith(" XST")
        at = datetime.fromisoformat(said.removesuffix(" XST") + "+05:45")
        assert timedelta(0) <= before - at < timedelta(minutes=30)
