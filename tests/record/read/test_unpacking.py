"""A parcel is taken in slices that nobody sees; then all of it is there, or nothing ever was."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from shopclock.exchange.notes.notes import NotesAnswers
from shopclock.exchange.notes.notes_in import UNDO, here_in, preview
from shopclock.record.check.check import check
from shopclock.record.copies.archive import archive
from shopclock.record.copies.copying import copy_to
from shopclock.record.file.coming import file_for
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.setup import patterns
from shopclock.shop.values.entities import ENTITIES, Batch, ImportFile, Interval, Pattern, Stage
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work import batches, begin
from tests.exchange.spreader import spreader_shop
from tests.shop.workshop import ROUTE

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.record.press.unpacking import Unpacking
    from shopclock.shop.state.transaction import Transaction

ROWS = "".join(f"{1 + i // 3}.2.26;B{i // 6};Saw;{20 + i} min;3\n" for i in range(60))


@pytest.fixture
def record(tmp_path: Path) -> Iterator[Record]:
    with closing(spreader_shop(tmp_path)) as opened:
        yield opened


def begun(record: Record, rows: str = ROWS) -> Unpacking:
    file = record.path.with_name("notes.csv")
    file.write_text(f"Date;Batch;Task;Min;Qty\n{rows}", encoding="utf-8")
    seen = preview(record.path, file, NotesAnswers(), here_in(record))
    assert seen.parcel is not None
    return record.unpack(seen.parcel)


def stands(record: Record) -> dict[str, int]:
    with ReadOnlyRecord.open(record.path) as reading:
        rows = {
            "intervals": sum(1 for _ in reading.reads.intervals()),
            "pieces": sum(1 for _ in reading.reads.pieces()),
        }
        return rows | {kind.__name__: sum(1 for _ in reading.floor.all(kind)) for kind in ENTITIES}


def start_something(record: Record) -> None:
    pattern = next(record.floor.all(Pattern))
    batch, _ = record.press("Batch", lambda tx: batches.start_batch(tx, pattern, 2, "Now"))
    record.press("Start", lambda tx: begin.begin(tx, record.floor.steps(batch.id)[0]))


def test_nothing_of_a_parcel_is_seen_before_the_last_commit(record: Record) -> None:
    before = stands(record)
    unpacking = begun(record)
    while unpacking.step():
        assert stands(record) == before
    assert stands(record) == before
    with pytest.raises(ShopError, match="just coming"):
        check(record.path)
    assert record.arrive(unpacking, UNDO)
    assert stands(record)["intervals"] == 60
    assert check(record.path) == []
    assert not file_for(record.path).exists()


def test_presses_go_on_between_the_slices_and_undo_takes_the_parcel_first(record: Record) -> None:
    unpacking = begun(record)
    unpacking.step()
    start_something(record)
    while unpacking.step():
        pass
    assert record.arrive(unpacking, UNDO)
    assert check(record.path) == []
    path, clock = record.path, record.clock
    record.close()
    with closing(Record.open(path, clock)) as again:
        assert again.undo() == UNDO
        assert [batch.name for batch in again.floor.all(Batch)] == ["Now"]
        assert again.undo() == "Start"
        assert check(path) == []


@pytest.mark.parametrize("slices", [0, 1, 4, 1000])
def test_what_is_stopped_was_never_there(record: Record, slices: int) -> None:
    before = stands(record)
    unpacking = begun(record)
    for _ in range(slices):
        unpacking.step()
    unpacking.stop_at_once()
    assert stands(record) == before
    assert check(record.path) == []
    assert not file_for(record.path).exists()
    record.press("Another", lambda tx: patterns.copy_route(tx, ROUTE, "Pairing"))
    assert check(record.path) == []


@pytest.mark.parametrize("slices", [0, 1, 4, 1000])
def test_what_a_kill_leaves_is_removed_at_the_next_start(record: Record, slices: int) -> None:
    before = stands(record)
    unpacking = begun(record)
    for _ in range(slices):
        unpacking.step()
    path, clock = record.path, record.clock
    record.close()
    with closing(Record.open(path, clock)) as again:
        assert stands(again) == before
        assert check(path) == []
        assert not file_for(path).exists()


def rename_stage(tx: Transaction) -> None:
    tx.change(replace(next(stage for stage in tx.floor.all(Stage) if stage.name == "Saw"), name="Sawing"))


def test_a_parcel_that_a_press_has_spoilt_does_not_arrive(record: Record) -> None:
    unpacking = begun(record)
    record.press("Rename", rename_stage)
    while unpacking.step():
        pass
    assert not record.arrive(unpacking, UNDO)
    unpacking.stop_at_once()
    assert list(record.floor.all(ImportFile)) == []
    assert check(record.path) == []


def test_a_batch_that_is_gone_on_with_is_whole_on_the_floor(record: Record) -> None:
    start_something(record)
    batch = next(b for b in record.floor.all(Batch) if b.name == "Now")
    unpacking = begun(record, "3.2.26;Now;Saw;20;2\n3.2.26;Now;Bevel;15;1\n")
    while unpacking.step():
        pass
    assert record.arrive(unpacking, UNDO)
    assert len(record.floor.of_batch(Interval, batch.id)) == 3
    assert check(record.path) == []
    record.undo()
    assert len(record.floor.of_batch(Interval, batch.id)) == 1
    assert check(record.path) == []


def test_a_copy_holds_nothing_of_what_is_coming_and_an_archive_waits(record: Record, tmp_path: Path) -> None:
    before = stands(record)
    unpacking = begun(record)
    while unpacking.step():
        pass
    with pytest.raises(ShopError, match="just coming"):
        archive(record.path, tmp_path / "all.zip", record.instant())
    assert not (tmp_path / "all.zip").exists()
    copy_to(record.path, tmp_path / "copy.shopclock")
    assert check(tmp_path / "copy.shopclock") == []
    with closing(Record.open(tmp_path / "copy.shopclock", record.clock)) as opened:
        assert stands(opened) == before
    unpacking.stop_at_once()
