"""Whatever is pressed, the file holds it: opened anew it is the same, its journal rebuilds it, undo takes it back."""

import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings

from shopclock.record.check.check import check
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.values.entities import Batch, Interval, Load, Reading
from tests.plenty import parts, tried
from tests.record.on_disk import DiskShop
from tests.shop.histories import HISTORIES, SET_UP, play
from tests.shop.sound import assert_sound, things

IN_MEMORY = next((place for place in ("/dev/shm",) if Path(place).is_dir()), None)  # noqa: S108 - only to be quick
"""Thousands of presses, each flushed to the disk, would be a test of the disk."""

History = list[tuple[int, int, int, int]]


def check_file(history: History) -> None:
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as name:
        shop = DiskShop(Path(name), 4, 2)
        play(shop, history)
        assert_sound(shop.floor, shop.clock.now_us)
        assert check(shop.path) == []
        stood = _all(shop)
        shop.again()
        assert _all(shop) == stood
        shop.record.close()


def _all(shop: DiskShop) -> object:
    """All that stands on the floor with closed batches brought in, every interval on disk, and what Undo offers.

    Shop work of long ago stays on the floor until the record is opened anew; on disk it stays for ever. So does a load
    that nothing is in any more: the wait that began it was taken out with its mark.
    """
    for batch in list(shop.floor.all(Batch)):
        shop.record.load_batch(batch.id)
    floor = shop.floor
    stood = things(floor)
    old = {i.id for i in floor.all(Interval) if i.batch_id is None and i.end_us is not None}
    stood[Interval] = {number: thing for number, thing in stood[Interval].items() if number not in old}
    used = {thing.load_id for kind in (Interval, Reading) for thing in stood[kind].values()}
    stood[Load] = {number: load for number, load in stood[Load].items() if number in used}
    labour = {number: us for number, us in floor.labour.items() if number not in old}
    rows = frozenset(shop.record.reads.stage_rows(shop.clock.now_us))
    every = list(shop.record.reads.intervals())
    return stood, labour, dict(floor.shares), set(floor.running), rows, every, shop.record.next_undo


def check_undo(history: History) -> None:
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as name:
        shop = DiskShop(Path(name), 4, 2)
        start = things(shop.floor)
        play(shop, history)
        shop.again()
        while shop.pressed > SET_UP:
            shop.undo()
        assert things(shop.floor) == start
        assert check(shop.path) == []
        shop.again()
        assert things(shop.floor) == start
        with ReadOnlyRecord.open(shop.path) as reading:
            assert things(reading.floor) == start
            assert list(reading.reads.intervals()) == []
        shop.record.close()


@settings(max_examples=20)
@given(HISTORIES)
def test_a_record_opened_anew_is_the_same_and_its_journal_rebuilds_it(history: History) -> None:
    check_file(history)


@settings(max_examples=12)
@given(HISTORIES)
def test_undo_after_a_restart_gives_back_the_start(history: History) -> None:
    check_undo(history)


@pytest.mark.long
@parts(10)
def test_very_many_records_are_rebuilt_from_their_journals(part: int) -> None:
    tried(check_file, HISTORIES, 30, part)


@pytest.mark.long
@parts(10)
def test_very_many_records_can_be_taken_back(part: int) -> None:
    tried(check_undo, HISTORIES, 15, part)
