"""Old work is brought in with all that it rests on, amended, kept in the file, and taken back."""

import tempfile
from functools import partial
from pathlib import Path

import pytest
from hypothesis import given, settings

from shopclock.record.check.check import check
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Interval, Step
from shopclock.shop.work import amend, begin
from shopclock.shop.work.batches import close_batch
from tests.plenty import parts, tried
from tests.record.on_disk import DiskShop
from tests.record.press.test_histories import IN_MEMORY
from tests.shop.amendments import AMENDED, Amendment, amend_one
from tests.shop.histories import SET_UP, play
from tests.shop.sound import assert_sound, things
from tests.shop.workshop import MINUTE_US

WEEK_MIN = 7 * 24 * 60
Amended = tuple[list[tuple[int, int, int, int]], list[Amendment]]


@pytest.fixture
def old(tmp_path: Path) -> DiskShop:
    """A watch of three hours over which another batch was sawn for one; weeks later, opened anew."""
    shop = DiskShop(tmp_path, 3, 2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Harden")))
    shop.clock.on(60)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw", shop.batches[1])))
    shop.clock.on(60)
    shop.press(begin.stop)
    shop.clock.on(60)
    shop.press(begin.stop)
    for batch in shop.batches:
        shop.clock.on(5)
        shop.press(partial(close_batch, batch=batch, outcomes={}, next_time=""))
    shop.clock.on(5 * WEEK_MIN)
    later = shop.new_batch(2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw", later)))
    shop.clock.on(30)
    shop.press(begin.stop)
    shop.again()
    return shop


def at(floor: ShopFloor, name: str) -> Interval:
    return min(
        (i for i in floor.all(Interval) if i.step_id is not None and floor.get(Step, i.step_id).name == name),
        key=lambda i: i.start_us,
    )


def test_what_is_brought_in_comes_with_what_ran_at_the_same_time(old: DiskShop) -> None:
    assert not old.floor.steps(old.batches[0].id)
    start = old.batches[0].started_us
    old.record.load_since(start + 150 * MINUTE_US)  # the watch alone had not ended by then
    assert old.floor.horizon_us == at(old.floor, "Harden").start_us
    assert at(old.floor, "Saw").batch_id == old.batches[1].id


def test_figures_of_closed_batches_follow_an_amendment_and_its_undo(old: DiskShop) -> None:
    was = set(old.record.reads.stage_rows(old.clock.now_us))
    old.record.load_since(old.batches[0].started_us)
    watch = at(old.floor, "Harden")
    assert watch.end_us is not None
    end_us = watch.end_us - 10 * MINUTE_US
    old.press(lambda tx: amend.move_end(tx, watch, end_us))
    assert old.floor.labour[watch.id] == 110 * MINUTE_US
    assert check(old.path) == []
    assert set(old.record.reads.stage_rows(old.clock.now_us)) != was
    old.again()
    old.undo()
    assert check(old.path) == []
    assert set(old.record.reads.stage_rows(old.clock.now_us)) == was


def test_amending_what_was_not_brought_in_is_our_own_mistake(old: DiskShop) -> None:
    old.record.load_batch(old.batches[0].id)
    watch = at(old.floor, "Harden")
    with pytest.raises(ValueError, match="on the floor"):
        old.press(lambda tx: amend.move_start(tx, watch, watch.start_us + 1))
    assert old.floor.get(Interval, watch.id) == watch


def check_file(amended: Amended) -> None:
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as name:
        shop = DiskShop(Path(name), 4, 2)
        start = things(shop.floor)
        play(shop, amended[0])
        shop.again()
        shop.record.load_since(0)
        for amendment in amended[1]:
            amend_one(shop, amendment)
        assert check(shop.path) == []
        shop.again()
        while shop.pressed > SET_UP:
            shop.undo()
        shop.record.load_since(0)
        assert_sound(shop.floor, shop.clock.now_us)
        assert things(shop.floor) == start
        assert check(shop.path) == []
        shop.record.close()


@settings(max_examples=15)
@given(AMENDED)
def test_an_amended_record_is_rebuilt_by_its_journal_and_taken_back_after_a_restart(amended: Amended) -> None:
    check_file(amended)


@pytest.mark.long
@parts(10)
def test_very_many_amended_records_are_rebuilt_and_taken_back(part: int) -> None:
    """The rest is amended in test_evenings: 100,000 steps with restarts between."""
    tried(check_file, AMENDED, 15, part)
