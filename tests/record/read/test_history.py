"""What was changed of a batch or on a day, newest first, in plain words."""

from datetime import date
from pathlib import Path

import pytest

from shopclock.record.read.history import HistoryRow, OfBatch, OfTime
from shopclock.shop.review.change_text import change_texts
from shopclock.shop.state.wording import zone_of
from shopclock.shop.values.entities import Interval
from shopclock.shop.work import amend, begin, finish
from shopclock.shop.work.day import day_span
from tests.record.on_disk import DiskShop
from tests.shop.workshop import MINUTE_US


@pytest.fixture
def shop(tmp_path: Path) -> DiskShop:
    """Saw from 21:00 to 21:40 on a Saturday, its start amended to 20:55 a day later."""
    made = DiskShop(tmp_path, 3, 2)
    sawn = made.press(lambda tx: begin.begin(tx, made.step("Saw")))
    made.clock.on(40)
    made.press(lambda tx: finish.out(tx, made.floor.get(Interval, sawn.id)))
    made.clock.on(24 * 60)
    sawn = made.floor.get(Interval, sawn.id)
    made.press(lambda tx: amend.move_start(tx, sawn, sawn.start_us - 5 * MINUTE_US))
    return made


def said(shop: DiskShop, rows: tuple[HistoryRow, ...]) -> list[list[str]]:
    return [[line.text for line in change_texts(shop.floor, row.changes)] for row in rows]


def test_a_batch_tells_its_presses_newest_first_in_plain_words(shop: DiskShop) -> None:
    rows = shop.record.reads.history(OfBatch(shop.batches[0].id))
    assert said(shop, rows) == [
        ["Saw, 26-01, A–C: start 21:00 → 20:55"],
        ["Saw, 26-01, A–C: end 21:40", "Saw, 26-01: A–C through"],
        ["Saw, 26-01, A–C: Sat 24 Oct from 21:00"],
        ["26-01: new"],
    ]
    assert rows[0].at_us == shop.clock.now_us


def test_another_batch_has_nothing_to_do_with_it(shop: DiskShop) -> None:
    rows = shop.record.reads.history(OfBatch(shop.batches[1].id))
    assert said(shop, rows) == [["26-02: new"]]


def test_a_day_tells_what_was_changed_of_it_later_too(shop: DiskShop) -> None:
    zone = zone_of(shop.floor)
    saturday = shop.record.reads.history(OfTime(*day_span(date(2026, 10, 24), zone)))
    assert said(shop, saturday)[0] == ["Saw, 26-01, A–C: start 21:00 → 20:55"]
    assert len(saturday) == 3
    assert shop.record.reads.history(OfTime(*day_span(date(2026, 10, 25), zone))) == ()


def test_what_was_taken_back_is_told_and_marked(shop: DiskShop) -> None:
    shop.undo()
    back, start, *_ = shop.record.reads.history(OfBatch(shop.batches[0].id))
    assert (back.taken_back, start.taken_back) == (False, True)
    assert said(shop, (back,)) == [["Saw, 26-01, A–C: start 20:55 → 21:00"]]


def test_pages_go_on_before_the_last_press_of_the_one_before(shop: DiskShop) -> None:
    reads, about = shop.record.reads, OfBatch(shop.batches[0].id)
    every = reads.history(about)
    assert reads.history(about, every[1].press_id) == every[2:]
    assert reads.history(about, every[-1].press_id) == ()


def test_a_stretch_that_went_to_another_batch_is_in_the_history_of_both(shop: DiskShop) -> None:
    sawn = next(iter(shop.floor.of_batch(Interval, shop.batches[0].id)))
    shop.press(lambda tx: amend.use_step(tx, sawn, shop.step("Saw", shop.batches[1])))
    for batch in shop.batches:
        newest = shop.record.reads.history(OfBatch(batch.id))[0]
        assert "Saw, 26-02, A, B: batch 26-01 → 26-02" in said(shop, (newest,))[0]


def test_what_was_taken_away_is_still_told(shop: DiskShop) -> None:
    sawn = next(iter(shop.floor.of_batch(Interval, shop.batches[0].id)))
    shop.press(lambda tx: amend.remove(tx, sawn))
    newest = shop.record.reads.history(OfBatch(shop.batches[0].id))[0]
    assert said(shop, (newest,)) == [["Saw, 26-01, A–C: taken away Sat 24 Oct 20:55–21:40"]]


def test_the_days_with_work_are_found_beyond_the_floor(shop: DiskShop) -> None:
    first = next(iter(shop.floor.of_batch(Interval, shop.batches[0].id))).start_us
    reads = shop.record.reads
    assert reads.worked_before(shop.clock.now_us) == first
    assert reads.worked_before(first) is None
    assert reads.worked_after(first) == first
    assert reads.worked_after(first + 1) is None
