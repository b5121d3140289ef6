"""A parcel is taken in one transaction: all of it is there, or nothing ever was. So it goes when it is taken back."""

from __future__ import annotations

import os
import shutil
import signal
from contextlib import closing, contextmanager
from dataclasses import replace
from multiprocessing import get_context
from typing import TYPE_CHECKING

import pytest

from shopclock.exchange.notes.notes import NotesAnswers
from shopclock.exchange.notes.notes_in import UNDO, here_in, preview
from shopclock.record.check.check import check
from shopclock.record.check.rebuild import differences
from shopclock.record.copies.archive import archive
from shopclock.record.copies.copying import copy_to
from shopclock.record.file import numbers
from shopclock.record.file.opening import file_for_parcel
from shopclock.record.press import record as record_module
from shopclock.record.press import undo_import
from shopclock.record.press.record import Record
from shopclock.record.read import load
from shopclock.record.read.parcel import SPOILT, Parcel
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.setup import patterns
from shopclock.shop.values.entities import ENTITIES, Batch, ImportFile, Interval, Pattern, Stage
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.kinds import Kind
from shopclock.shop.values.progress import Unwatched
from shopclock.shop.work import batches, begin
from tests.exchange.spreader import spreader_shop
from tests.faults.disks import fill, small_disk
from tests.shop.workshop import ROUTE, ToyClock

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.shop.state.transaction import Transaction

ROWS = "".join(f"{1 + i // 3}.2.26;B{i // 6};Saw;{20 + i} min;3\n" for i in range(60))


@pytest.fixture
def record(tmp_path: Path) -> Iterator[Record]:
    with closing(spreader_shop(tmp_path)) as opened:
        yield opened


def packed(record: Record, rows: str = ROWS, heads: str = "Date;Batch;Task;Min;Qty") -> Parcel:
    file = record.path.with_name("notes.csv")
    file.write_text(f"{heads}\n{rows}", encoding="utf-8")
    seen = preview(record.path, file, NotesAnswers(), here_in(record))
    assert seen.parcel is not None
    return seen.parcel


def stands(record: Record) -> dict[str, int]:
    with ReadOnlyRecord.open(record.path) as reading:
        rows = {
            "intervals": sum(1 for _ in reading.reads.intervals()),
            "pieces": sum(1 for _ in reading.reads.pieces()),
        }
        return rows | {kind.__name__: sum(1 for _ in reading.floor.all(kind)) for kind in ENTITIES}


def assert_floor_is_as_on_disk(record: Record) -> None:
    """What stands on the floor is what another reads, its minutes too."""
    with ReadOnlyRecord.open(record.path) as reading:
        there = reading.load_since(0)
        for kind in ENTITIES:
            assert set(record.floor.all(kind)) <= set(there.all(kind))
        for number in (i.id for i in record.floor.all(Interval)):
            assert record.floor.labour.get(number) == there.labour.get(number)
            assert record.floor.shares.get(number) == there.shares.get(number)
        assert record.floor.labour.keys() <= {i.id for i in record.floor.all(Interval)}


def start_something(record: Record) -> None:
    pattern = next(record.floor.all(Pattern))
    batch, _ = record.press("Batch", lambda tx: batches.start_batch(tx, pattern, 2, "Now"))
    record.press("Start", lambda tx: begin.begin(tx, record.floor.steps(batch.id)[0]))


def test_all_of_it_comes_by_one_press(record: Record) -> None:
    parcel = packed(record)
    before = stands(record)
    assert before["intervals"] == 0
    record.take(parcel, UNDO)
    assert stands(record)["intervals"] == 60
    assert record.next_undo is not None
    assert record.next_undo.what == UNDO
    assert check(record.path) == []
    assert_floor_is_as_on_disk(record)
    assert not file_for_parcel(record.path).exists()
    assert record.undo() == UNDO
    assert stands(record) == before
    assert check(record.path) == []
    assert_floor_is_as_on_disk(record)


def test_presses_go_on_while_it_is_worked_out_and_undo_takes_it_first(record: Record) -> None:
    parcel = packed(record)
    start_something(record)
    record.take(parcel, UNDO)
    record.press("Another", lambda tx: patterns.copy_route(tx, ROUTE, "Pairing"))
    assert check(record.path) == []
    path, clock = record.path, record.clock
    record.close()
    with closing(Record.open(path, clock)) as again:
        assert again.undo() == "Another"
        assert again.undo() == UNDO
        assert [batch.name for batch in again.floor.all(Batch)] == ["Now"]
        assert_floor_is_as_on_disk(again)
        assert again.undo() == "Start"
        assert check(path) == []


def take_and_be_killed(path: Path, *, before_the_commit: bool) -> None:
    """Take notes in a process that ends in the middle of it."""
    where, name = (Parcel, "write") if before_the_commit else (load, "bring_taken")
    what = getattr(where, name)

    def then_die(*given: object) -> None:
        what(*given)
        os.kill(os.getpid(), signal.SIGKILL)

    setattr(where, name, then_die)
    record = Record.open(path, ToyClock())
    record.take(packed(record), UNDO)


@pytest.mark.parametrize("before_the_commit", [True, False])
def test_killed_before_the_commit_nothing_is_there_and_after_it_all(record: Record, before_the_commit: bool) -> None:
    before, path, clock = stands(record), record.path, record.clock
    record.close()
    process = get_context("spawn").Process(
        target=take_and_be_killed, args=(path,), kwargs={"before_the_commit": before_the_commit}
    )
    process.start()
    process.join()
    assert process.exitcode == -signal.SIGKILL
    with closing(Record.open(path, clock)) as again:
        assert check(path) == []
        assert not file_for_parcel(path).exists()
        if before_the_commit:
            assert stands(again) == before
        else:
            assert stands(again)["intervals"] == 60
            assert again.undo() == UNDO
            assert stands(again) == before


def test_on_a_full_disk_nothing_is_taken_and_with_room_all_is(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk", "2m") as disk, closing(spreader_shop(disk)) as record:
        parcel, before = packed(record), stands(record)
        hog = fill(disk)
        with pytest.raises(ShopError, match="is full"):
            record.take(parcel, UNDO)
        assert list(record.floor.all(ImportFile)) == []
        assert record.next_undo is not None
        assert record.next_undo.what == "Route"
        hog.unlink()
        assert stands(record) == before
        record.take(packed(record), UNDO)
        assert stands(record)["intervals"] == 60
        fill(disk)
        with pytest.raises(ShopError, match="is full"):
            record.undo()
        assert_floor_is_as_on_disk(record)
        (disk / "hog").unlink()
        assert record.undo() == UNDO
        assert stands(record) == before
        assert check(record.path) == []


def rename_stage(tx: Transaction) -> None:
    tx.change(replace(next(stage for stage in tx.floor.all(Stage) if stage.name == "Saw"), name="Sawing"))


def test_nothing_is_taken_of_what_a_press_has_spoilt(record: Record) -> None:
    parcel = packed(record)
    record.press("Rename", rename_stage)
    before = stands(record)
    with pytest.raises(ShopError) as told:
        record.take(parcel, UNDO)
    assert str(told.value) == SPOILT
    assert stands(record) == before
    assert list(record.floor.all(ImportFile)) == []
    assert not file_for_parcel(record.path).exists()
    assert record.undo() == "Rename"
    record.take(packed(record), UNDO)
    assert check(record.path) == []


def test_nothing_is_taken_where_presses_had_the_numbers_that_were_left_to_them(
    record: Record, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(numbers, "ROOM", 10)
    pattern = next(record.floor.all(Pattern))
    steps = 8
    for new in (1, 2):
        parcel = packed(record)
        for n in range(new):
            record.press("Batch", lambda tx, name=f"{new} {n}": batches.start_batch(tx, pattern, 1, name))
        if new * steps <= numbers.ROOM:
            record.take(parcel, UNDO)
            record.undo()
        else:
            with pytest.raises(ShopError, match="changed meanwhile"):
                record.take(parcel, UNDO)
    assert check(record.path) == []


def test_a_batch_that_is_gone_on_with_is_whole_on_the_floor(record: Record) -> None:
    start_something(record)
    batch = next(b for b in record.floor.all(Batch) if b.name == "Now")
    record.take(packed(record, "3.2.26;Now;Saw;20;2\n3.2.26;Now;Bevel;15;1\n"), UNDO)
    assert len(record.floor.of_batch(Interval, batch.id)) == 3
    assert_floor_is_as_on_disk(record)
    assert check(record.path) == []
    record.undo()
    assert len(record.floor.of_batch(Interval, batch.id)) == 1
    assert_floor_is_as_on_disk(record)
    assert check(record.path) == []


def test_a_closed_batch_that_is_gone_on_with_has_its_former_figures_after_undo(record: Record) -> None:
    record.take(packed(record, "1.2.26;K;Saw;20;2\n"), UNDO)
    figures = record.reads.whole_rows(record.instant())
    record.take(packed(record, "3.2.26;K;Saw;40;2\n3.2.26;K;Bevel;15;1\n"), UNDO)
    assert check(record.path) == []
    assert record.reads.whole_rows(record.instant()) != figures
    record.undo()
    assert record.reads.whole_rows(record.instant()) == figures
    assert_floor_is_as_on_disk(record)
    assert check(record.path) == []


def watch_a_day(record: Record) -> None:
    """Stay by a batch from the evening to the next; it is open, and gone on with by the notes."""
    start_something(record)
    (sawn,) = record.floor.running.values()
    record.press("It was watched", lambda tx: tx.change(replace(tx.current(sawn), kind=Kind.WATCH)))
    record.clock.on(1440)  # type: ignore[attr-defined]  # a toy clock
    record.press("Stop", begin.stop)


BESIDE = "25.10.26;K;Saw;9:00;20;2\n25.10.26;K;Bevel;10:00;30;2\n25.10.26;Now;Scales;11:00;40;2\n"


def test_undo_at_once_leaves_what_undo_thing_by_thing_does(record: Record, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same rows, the same journal to the letter; a closed batch, an open one and a day's watch had changed."""
    record.take(packed(record, "1.2.26;K;Saw;20;2\n"), UNDO)
    watch_a_day(record)
    before = dict(record.floor.labour)
    record.take(packed(record, BESIDE, "Date;Batch;Task;Start;Min;Qty"), UNDO)
    assert any(record.floor.labour[number] != us for number, us in before.items() if number in record.floor.labour)
    assert check(record.path) == []
    path, other, clock = record.path, record.path.with_name("other.shopclock"), record.clock
    record.close()
    shutil.copy(path, other)
    with closing(Record.open(path, clock)) as at_once:
        at_once.undo()
        assert {n: us for n, us in at_once.load_since(0).labour.items() if n in before} == before
        assert_floor_is_as_on_disk(at_once)
        assert check(path) == []
    monkeypatch.setattr(undo_import, "lines_at_once", lambda *_: 0)
    with closing(Record.open(other, clock)) as by_thing:
        by_thing.undo()
    assert differences(path, other) == {"press": 2}  # each has its own UUID


def test_put_back_at_once_leaves_what_put_back_thing_by_thing_does(
    record: Record, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same rows and lines as when each thing is folded by itself, and all that stood before the Undo."""
    record.take(packed(record, "1.2.26;K;Saw;20;2\n"), UNDO)
    watch_a_day(record)
    record.take(packed(record, BESIDE, "Date;Batch;Task;Start;Min;Qty"), UNDO)
    stood = stands(record)
    labour = dict(record.load_since(0).labour)
    path, other, clock = record.path, record.path.with_name("other.shopclock"), record.clock
    record.undo()
    record.close()
    shutil.copy(path, other)
    with closing(Record.open(path, clock)) as at_once:
        assert at_once.put_back() == UNDO
        assert stands(at_once) == stood
        assert at_once.load_since(0).labour == labour
        assert_floor_is_as_on_disk(at_once)
        assert check(path) == []
    monkeypatch.setattr(undo_import, "lines_at_once", lambda *_: 0)
    with closing(Record.open(other, clock)) as by_thing:
        by_thing.put_back()
        assert by_thing.next_undo is not None
    assert differences(path, other) == {"press": 2}  # each has its own UUID


def test_an_import_goes_and_comes_back_again_and_again(record: Record) -> None:
    record.take(packed(record), UNDO)
    stood = stands(record)
    for _ in range(2):
        record.undo()
        assert stands(record) != stood
        record.put_back()
        assert stands(record) == stood
        assert_floor_is_as_on_disk(record)
    assert check(record.path) == []


def test_a_copy_and_an_archive_hold_all_of_it(record: Record, tmp_path: Path) -> None:
    record.take(packed(record), UNDO)
    archive(record.path, tmp_path / "all.zip", record.instant())
    copy_to(record.path, tmp_path / "copy.shopclock")
    with closing(Record.open(tmp_path / "copy.shopclock", record.clock)) as opened:
        assert stands(opened) == stands(record)
        assert opened.undo() == UNDO
        assert stands(opened)["intervals"] == 0
    assert check(tmp_path / "copy.shopclock") == []


def test_what_was_worked_out_and_is_gone_is_told(record: Record) -> None:
    parcel = packed(record)
    parcel.file.unlink()
    with pytest.raises(ShopError, match="is there no more"):
        record.take(parcel, UNDO)


class Told(Unwatched):
    """What a window would show."""

    def __init__(self) -> None:
        self.shares: list[float] = []

    def at(self, done: int, of: int, _words: str) -> None:
        self.shares.append(done / of)


def test_what_takes_a_moment_is_said_to_and_little_is_not(record: Record, monkeypatch: pytest.MonkeyPatch) -> None:
    moments: list[Told] = []

    @contextmanager
    def one_moment() -> Iterator[Told]:
        moments.append(Told())
        yield moments[-1]

    record.one_moment = one_moment
    record.take(packed(record), UNDO)
    record.undo()
    assert moments == []
    monkeypatch.setattr(record_module, "LARGE", 100)
    record.take(packed(record), UNDO)
    record.undo()
    assert len(moments) == 2
    for told in moments:
        assert told.shares == sorted(told.shares)
        assert told.shares[0] == 0
        assert 0.5 < told.shares[-1] < 1
