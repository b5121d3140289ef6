"""The record: a press is on disk before it is told, Undo names what it takes back, also after a restart."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from shopclock.record.check.check import check
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.figures.trend_rows import trend_rows, usual
from shopclock.shop.setup import reading_kinds
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.clock import Moment
from shopclock.shop.values.entities import Batch, Interval, Load, Stage
from shopclock.shop.values.entities import Reading as MeasuredReading
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Certainty, Kind, Outcome
from shopclock.shop.work import acts, adjust, amend, begin, finish, pieces, readings
from shopclock.shop.work.batches import close_batch
from tests.record.on_disk import DiskShop
from tests.shop.workshop import MINUTE_US, START_US


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[DiskShop]:
    made = DiskShop(tmp_path, 3, 2)
    yield made
    made.close()


def running(shop: DiskShop) -> Interval:
    (found,) = shop.floor.running.values()
    return found


def test_a_press_is_on_disk_when_it_is_told(shop: DiskShop) -> None:
    seen: list[int] = []

    def look() -> None:
        with ReadOnlyRecord.open(shop.path) as reading:
            seen.append(len(list(reading.reads.intervals())))

    shop.record.on_change(look)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    assert seen == [1, 2]


def test_work_by_a_person_is_read_from_an_instant_on(shop: DiskShop) -> None:
    """Waits, what still runs and what began before are left out."""
    spans = []
    for step in ("Saw", "Bevel", "Temper", "Scales"):
        start = shop.clock.now_us
        shop.press(lambda tx, name=step: begin.begin(tx, shop.step(name)))
        shop.clock.on(7)
        if step != "Temper":
            shop.press(begin.stop)
            spans.append((start, shop.clock.now_us, 7 * MINUTE_US))
    shop.press(lambda tx: begin.begin(tx, shop.step("Scales")))
    worked = [(w.start_us, w.end_us, w.labour_us) for w in shop.record.reads.worked(spans[1][0])]
    assert worked == spans[1:]


def test_a_piece_that_changes_keeps_its_number(shop: DiskShop) -> None:
    """Its column has the name that once stood for the row's own number in an UPDATE."""
    shop.press(lambda tx: tx.change(replace(tx.current(shop.piece("C")), number="26-117")))
    shop.press(lambda tx: pieces.set_aside(tx, shop.piece("C")))
    shop.again()
    assert [p.number for p in shop.floor.pieces(shop.batches[0].id)] == ["", "", "26-117"]


def test_undo_names_the_newest_press_not_yet_taken_back(shop: DiskShop) -> None:
    shop.record.press("Start Saw", lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(5)
    shop.record.press("Stop", begin.stop)
    for name in ("Stop", "Start Saw"):
        shop.again()
        assert shop.record.next_undo is not None
        assert shop.record.next_undo.what == name
        assert shop.record.undo() == name
    assert not list(shop.floor.all(Interval))


def test_with_nothing_pressed_there_is_nothing_to_take_back(tmp_path: Path, shop: DiskShop) -> None:
    with pytest.raises(Refusal, match=r"There is nothing to take back."):
        Record.open(tmp_path / "new", shop.clock, make=True).undo()


def test_time_goes_on_as_if_the_press_had_not_been_made(shop: DiskShop) -> None:
    started = shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(10)
    shop.press(begin.stop)
    shop.clock.on(5)
    assert shop.record.undo_reopens()
    shop.undo()
    assert running(shop).id == started.id
    shop.clock.on(5)
    shop.press(begin.stop)
    assert sum(shop.floor.labour.values()) == 20 * MINUTE_US


def test_the_close_of_a_batch_writes_its_rows_and_undo_takes_them_away(shop: DiskShop) -> None:
    batch = shop.batches[0]
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(30)
    shop.press(lambda tx: close_batch(tx, batch, {}, ""))
    with ReadOnlyRecord.open(shop.path) as reading:
        kept = [row for row in reading.reads.stage_rows(0) if row.batch_id == batch.id]
    assert kept == list(trend_rows(shop.floor, batch.id, shop.clock.now_us)) != []
    shop.undo()
    assert check(shop.path) == []
    assert shop.floor.get(Batch, batch.id).closed_us is None


def test_undo_reaches_into_a_batch_that_was_closed_long_ago(shop: DiskShop) -> None:
    """After a restart it isn't on the floor; its rows are put right all the same."""
    batch = shop.batches[0]
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(30)
    shop.press(begin.stop)
    shop.press(lambda tx: close_batch(tx, batch, {}, ""))
    shop.clock.on(90 * 24 * 60)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw", shop.batches[1])))
    shop.press(begin.stop)
    shop.again()
    assert shop.floor.steps(batch.id) == ()
    for _ in ("stop", "start", "close"):
        shop.undo()
    assert len(shop.floor.living(batch.id)) == 3
    shop.undo()
    assert running(shop).pieces == tuple(p.id for p in shop.floor.pieces(batch.id))
    assert check(shop.path) == []


def test_an_amendment_that_reaches_into_a_closed_batch_puts_its_rows_right(shop: DiskShop) -> None:
    batch = shop.batches[0]
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(30)
    shop.press(lambda tx: close_batch(tx, batch, {}, ""))
    work = next(s for s in shop.floor.all(Stage) if s.shop_work)
    shop.press(lambda tx: begin.begin_shop_work(tx, work))
    shop.clock.on(5)
    shop.again()
    at = shop.clock.now_us - 15 * MINUTE_US
    shop.press(lambda tx: adjust.start_since(tx, running(shop), at))
    (row,) = (r for r in shop.record.reads.stage_rows(0) if r.batch_id == batch.id)
    assert row.run_us == 20 * MINUTE_US
    assert check(shop.path) == []


def test_a_clock_behind_the_last_entry_refuses_no_press(shop: DiskShop) -> None:
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    before = shop.clock.now_us
    flat = Moment(START_US - 10**15, 5_000_000, 0, "after a flat battery", 60)
    shop.record.press("Stop", begin.stop, flat)
    (stopped,) = shop.floor.all(Interval)
    assert stopped.end_us is not None
    assert stopped.end_us >= before


def test_rows_for_a_sheet_are_told_by_name(shop: DiskShop) -> None:
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.clock.on(9)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("B"), shop.step("Bevel"), "too thin"))
    shop.press(lambda tx: finish.all_through(tx, shop.step("Harden"), [shop.piece("A").id]))
    shop.press(lambda tx: begin.begin(tx, shop.step("Temper"), [shop.piece("A").id]))
    shop.clock.on(1)
    shop.press(begin.stop)
    first, second, third = shop.record.reads.intervals()
    assert (first.batch, first.pattern, first.stage, first.step) == ("26-01", "Spreader", "Bevel", "Bevel")
    assert (first.method, first.pieces, first.labour_us) == ("freehand", ("A", "B", "C"), 9 * MINUTE_US)
    assert (first.kind, first.certainty, first.cause) == (Kind.HANDS_ON, Certainty.PRESSED, "")
    assert (second.pieces, third.pieces) in [(("C",), ("A",)), (("A",), ("C",)), (("A", "C"), ("A",))]
    lost = next(row for row in shop.record.reads.pieces() if row.mark == "B")
    assert (lost.outcome, lost.lost_at, lost.reason) == (Outcome.SCRAPPED, "Bevel", "too thin")
    assert (lost.run_us, lost.setup_us, lost.rework_us) == (9 * MINUTE_US, 0, 0)


def test_the_sums_of_the_sheet_are_those_of_the_figures(shop: DiskShop) -> None:
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.clock.on(11)
    shop.press(lambda tx: pieces.rework(tx, shop.piece("A"), shop.step("Bevel"), shop.step("Saw")))
    shop.clock.on(4)
    shop.press(lambda tx: pieces.cut_down(tx, shop.piece("C"), shop.batches[1]))
    shop.press(lambda tx: close_batch(tx, shop.batches[0], {}, "wider"))
    batch = shop.batches[0]
    whole = figures(shop.floor, batch.id, shop.clock.now_us).whole.all_us
    rows = [row for row in shop.record.reads.pieces() if row.batch_id == batch.id]
    assert sum(r.run_us + r.setup_us + r.rework_us for r in rows) == whole
    assert sum(r.labour_us or 0 for r in shop.record.reads.intervals() if r.batch_id == batch.id) == whole
    told = next(row for row in shop.record.reads.batches() if row.id == batch.id)
    assert (told.labour_us, told.pieces, told.finished, told.cut_down) == (whole, 3, 2, 1)
    assert told.next_time == "wider"
    new = next(row for row in shop.record.reads.pieces() if row.from_piece)
    assert (new.batch, new.from_piece, new.run_us) == ("26-02", "26-01 C", 0)


def test_usual_is_worked_out_again_after_a_press_and_not_before(shop: DiskShop) -> None:
    stage = shop.step("Saw").stage_id
    ask = shop.record.reads.usual
    assert ask(stage, 1, shop.pattern.id, shop.clock.now_us) is None
    for batch in shop.batches:
        shop.press(lambda tx, batch=batch: begin.begin(tx, shop.step("Saw", batch)))
        shop.clock.on(12)
        shop.press(lambda tx, batch=batch: close_batch(tx, batch, {}, ""))
    found = ask(stage, 1, shop.pattern.id, shop.clock.now_us)
    assert found == usual(shop.record.reads.stage_rows(shop.clock.now_us), stage, 1, shop.pattern.id)
    assert found is not None
    assert (found.n, found.last_min) == (2, 6)
    assert ask(stage, 1, shop.pattern.id, shop.clock.now_us) is found


def test_what_was_stopped_last_is_read_again_and_gives_way_to_an_earlier_start(shop: DiskShop) -> None:
    """Sweeping ended long ago; what runs since then began right after it and is moved back over its end."""
    sweeping = next(stage for stage in shop.floor.all(Stage) if stage.shop_work)
    first = shop.press(lambda tx: begin.begin_shop_work(tx, sweeping))
    shop.clock.on(minutes=90)
    shop.press(lambda tx: begin.begin_shop_work(tx, sweeping))
    shop.clock.on(minutes=72 * 60)
    shop.press(begin.stop)
    shop.undo()
    shop.again()
    runs = running(shop)
    at_us = runs.start_us - 60 * MINUTE_US
    shop.press(lambda tx: adjust.start_since(tx, runs, at_us))
    assert (shop.floor.get(Interval, first.id).end_us, running(shop).start_us) == (at_us, at_us)
    assert check(shop.path) == []


def test_a_stretch_that_was_taken_away_comes_back_with_its_load_after_a_restart(shop: DiskShop) -> None:
    running_now = shop.press(lambda tx: begin.begin(tx, shop.step("Temper")))
    assert running_now.load_id is not None
    shop.clock.on(minutes=30)
    shop.press(lambda tx: amend.remove(tx, running_now))
    shop.again()
    shop.undo()
    assert shop.floor.find(Load, running_now.load_id) is not None
    assert check(shop.path) == []


def test_a_reading_of_a_closed_batch_is_taken_back_after_a_restart(shop: DiskShop) -> None:
    bevel, piece = shop.step("Bevel"), shop.piece("A")
    stage = shop.floor.get(Stage, bevel.stage_id)
    kind = shop.press(lambda tx: reading_kinds.add_kind(tx, stage, "edge", "mm"))
    taken = shop.press(lambda tx: readings.take(tx, kind, bevel, piece, "0.2"))
    shop.press(lambda tx: close_batch(tx, shop.batches[0], {}, ""))
    shop.press(lambda tx: readings.measure_again(tx, taken, "0.3"))
    shop.clock.on(minutes=72 * 60)
    shop.press(begin_sweeping)
    shop.undo()
    shop.again()
    assert not shop.floor.steps(bevel.batch_id)
    shop.undo()
    assert shop.floor.get(MeasuredReading, taken.id) == taken
    assert check(shop.path) == []


def begin_sweeping(tx: Transaction) -> Interval:
    return begin.begin_shop_work(tx, next(stage for stage in tx.floor.all(Stage) if stage.shop_work))


def test_what_runs_for_days_is_stopped_after_a_restart_and_what_ran_beside_it_keeps_its_minutes(shop: DiskShop) -> None:
    """Sweeping took the hands while the oven was watched, and ended before what runs began: only the watch met both."""
    shop.press(lambda tx: begin.begin(tx, shop.step("Harden")))
    watched = running(shop)
    shop.clock.on(minutes=10)
    shop.press(begin_sweeping)
    shop.clock.on(minutes=20)
    shop.press(begin.stop)
    shop.clock.on(minutes=5)
    bevel = shop.press(lambda tx: begin.begin(tx, shop.step("Bevel", shop.batches[1])))
    shop.clock.on(minutes=5)
    shop.press(lambda tx: amend.move_end(tx, watched, tx.now_us))
    assert shop.floor.labour[watched.id] == 15 * MINUTE_US
    shop.clock.on(minutes=72 * 60)
    shop.press(lambda tx: pieces.add_piece(tx, shop.batches[0]))
    shop.again()
    shop.press(lambda tx: acts.go_on(tx, bevel))
    assert shop.floor.labour[watched.id] == 15 * MINUTE_US
    assert check(shop.path) == []


def test_a_wait_that_goes_on_from_a_watch_is_ended_after_a_restart_and_the_watch_keeps_its_minutes(
    shop: DiskShop,
) -> None:
    """Sweeping took the hands while the oven was watched, long before the wait began that the watch became."""
    shop.press(lambda tx: begin.begin(tx, shop.step("Harden")))
    shop.press(begin_sweeping)
    shop.clock.on(minutes=20)
    shop.press(begin.stop)
    watched = next(i for i in shop.floor.running.values())
    shop.clock.on(minutes=20)
    wait = shop.press(lambda tx: amend.split_at(tx, watched, watched.start_us + 30 * MINUTE_US))
    shop.press(lambda tx: amend.use_kind(tx, wait, Kind.WAIT))
    shop.press(lambda tx: amend.move_start(tx, wait, watched.start_us + 35 * MINUTE_US))
    shop.press(begin_sweeping)
    shop.clock.on(minutes=72 * 60)
    shop.press(begin.stop)
    shop.again()
    shop.press(lambda tx: close_batch(tx, shop.batches[0], {}, ""))
    assert shop.floor.labour[watched.id] == 10 * MINUTE_US
    assert check(shop.path) == []


def test_what_was_stopped_last_is_the_same_after_a_restart_days_later(shop: DiskShop) -> None:
    """The saw was put down before the floor was swept: time that is taken off is the sweeping's."""
    saw = shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(minutes=10)
    sweeping = shop.press(begin_sweeping)
    shop.clock.on(minutes=20)
    shop.press(begin.stop)
    shop.clock.on(minutes=72 * 60)
    shop.press(lambda tx: pieces.add_piece(tx, shop.batches[0]))
    shop.again()
    assert [i.id for i in begin.last_stopped(shop.floor, shop.record.maker.id)] == [sweeping.id]
    shop.press(lambda tx: adjust.take_off(tx, 5))
    assert shop.floor.labour == {saw.id: 10 * MINUTE_US, sweeping.id: 15 * MINUTE_US}


def test_what_is_changed_long_after_shares_the_hands_with_what_is_on_the_disk_alone(shop: DiskShop) -> None:
    """The oven was watched while sweeping took the hands; without the sweeping's minutes it would get all."""
    shop.press(lambda tx: begin.begin(tx, shop.step("Harden")))
    watched = running(shop)
    shop.clock.on(minutes=10)
    shop.press(begin_sweeping)
    shop.clock.on(minutes=20)
    shop.press(begin.stop)
    shop.press(begin.stop)
    shop.clock.on(minutes=72 * 60)
    shop.press(begin_sweeping)
    shop.clock.on(minutes=1)
    shop.press(begin.stop)
    shop.again()
    assert watched.start_us < shop.floor.horizon_us
    shop.press(
        lambda tx: tx.change(
            replace(tx.current(shop.floor.get(Interval, watched.id)), end_us=watched.start_us + 25 * MINUTE_US)
        )
    )
    assert shop.floor.labour[watched.id] == 10 * MINUTE_US
    assert check(shop.path) == []


def test_after_an_undo_the_stop_before_it_can_be_carried_on_however_long_ago_it_was(shop: DiskShop) -> None:
    first = shop.press(begin_sweeping)
    shop.clock.on(minutes=10)
    shop.press(begin.stop)
    shop.clock.on(minutes=72 * 60)
    shop.press(begin_sweeping)
    shop.clock.on(minutes=5)
    shop.press(begin.stop)
    shop.again()
    assert first.start_us < shop.floor.horizon_us
    shop.undo()
    shop.undo()
    assert [i.id for i in begin.last_stopped(shop.floor, shop.record.maker.id)] == [first.id]
