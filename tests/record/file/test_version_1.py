"""Records of version 1, written by the first published main, open for ever, with the figures that it told.

They lie in `version_1/`, made at commit 5dfdb3a; `expected.json` is what that commit's program said of them: the
figures, the presses that thirty Undos took back, and the figures after those.

| record | holds |
|---|---|
| story | a batch with a loss and a piece cut down, closed; work still running; names that try to be formulas |
| evenings | 90 random steps of an evening: amendments, undos, questions answered, clocks set, a restart |
| notes | old notes brought in, taken back and brought in anew; `notes.zip` is its archive |
| killed_in_mid_import | the program ended while notes came in slices: 60 stretches that must never be seen |
| shop, desk | a copy taken along, and both changed since |
"""

from __future__ import annotations

import json
import lzma
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from shopclock.exchange.workbook.figures_json import figures_json
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.exchange.workbook.sheets import batch_lines
from shopclock.record.check.check import check
from shopclock.record.copies.unarchive import unarchive
from shopclock.record.desk.bringing_back import bring_back, plan
from shopclock.record.desk.looking import look_through
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.setup import list_edit
from shopclock.shop.values.entities import Bench, Interval, Stage
from shopclock.shop.values.errors import ShopError
from tests.shop.sound import things
from tests.shop.workshop import ToyClock

HERE = Path(__file__).parent / "version_1"
EXPECTED = json.loads((HERE / "expected.json").read_text(encoding="utf-8"))


def unpacked(name: str, folder: Path) -> Path:
    """Lay a record, and the log that a kill left beside it, into a folder."""
    for file in HERE.glob(f"{name}.shopclock*.xz"):
        (folder / file.name.removesuffix(".xz")).write_bytes(lzma.decompress(file.read_bytes()))
    return folder / f"{name}.shopclock"


def later() -> ToyClock:
    clock = ToyClock()
    clock.on(10_000)
    return clock


def opened(path: Path) -> Record:
    return Record.open(path, later())


def figures(path: Path) -> dict[str, Any]:
    now_us = later().now_us
    with ReadOnlyRecord.open(path) as reading:
        return json.loads(figures_json(reading.floor, batch_lines(reading, ExportOptions(now_us=now_us)), now_us))


@pytest.mark.parametrize("name", EXPECTED)
def test_it_opens_sound_with_the_same_figures_and_its_presses_can_be_taken_back(name: str, tmp_path: Path) -> None:
    path = unpacked(name, tmp_path)
    opened(path).close()
    assert check(path) == []
    assert figures(path) == EXPECTED[name]["figures"]
    with closing(opened(path)) as record:
        undone = [record.undo() for _ in EXPECTED[name]["undone"]]
    assert undone == EXPECTED[name]["undone"]
    assert check(path) == []
    assert figures(path) == EXPECTED[name]["then"]
    with closing(opened(path)) as record:
        assert [record.put_back() for _ in undone] == undone[::-1]
        assert record.next_put_back is None
    assert check(path) == []
    assert figures(path) == EXPECTED[name]["figures"]


def test_nothing_of_the_import_that_was_killed_is_seen(tmp_path: Path) -> None:
    with closing(opened(unpacked("killed_in_mid_import", tmp_path))) as record:
        record.load_since(0)
        assert len(list(record.floor.all(Interval))) == 1


def test_whoever_only_reads_it_is_sent_to_the_window_first(tmp_path: Path) -> None:
    path = unpacked("killed_in_mid_import", tmp_path)
    with pytest.raises(ShopError, match="Open it once in the window"):
        check(path)
    opened(path).close()
    assert check(path) == []


def test_the_archive_becomes_the_same_record(tmp_path: Path) -> None:
    path = tmp_path / "again.shopclock"
    unarchive(HERE / "notes.zip", path)
    assert check(path) == []
    assert figures(path) == EXPECTED["notes"]["figures"]


def test_the_copy_that_was_taken_along_comes_back_once_and_undoably(tmp_path: Path) -> None:
    """What was made at the desk has numbers there that the shop has given too: it gets others."""
    shop, desk = unpacked("shop", tmp_path), unpacked("desk", tmp_path)
    with closing(opened(shop)) as record:
        before = things(record.floor)
        brought(record, desk)
        assert "Draw-file" in {stage.name for stage in record.floor.all(Stage)}
        after = things(record.floor)
        assert look_through(shop, desk).entries == ()
        record.undo()
        assert things(record.floor) == before | {Bench: after[Bench]}
        brought(record, desk)
        assert things(record.floor) == after
    assert check(shop) == []


def test_a_copy_of_version_1_that_was_pressed_since_comes_back_in_parts(tmp_path: Path) -> None:
    """The desk has this version too, and goes on in its file, which an older version has made."""
    shop, desk = unpacked("shop", tmp_path), unpacked("desk", tmp_path)
    with closing(opened(shop)) as record:
        brought(record, desk)
        with closing(opened(desk)) as at_desk:
            added, _ = at_desk.press("Etch", lambda tx: list_edit.add_stage(tx, "Etch"))
            at_desk.press("Name", lambda tx: tx.change(replace(tx.current(added), caution="Gloves on.")))
            at_desk.undo()
        brought(record, desk)
        assert [stage.caution for stage in record.floor.all(Stage) if stage.name == "Etch"] == [""]
        with closing(opened(desk)) as at_desk:
            at_desk.put_back()
        (entry,) = look_through(shop, desk).entries
        assert not entry.both
        brought(record, desk)
        assert [stage.caution for stage in record.floor.all(Stage) if stage.name == "Etch"] == ["Gloves on."]
        record.undo()
        record.undo()
        assert "Etch" not in {stage.name for stage in record.floor.all(Stage)}
    assert check(shop) == []


def brought(record: Record, desk: Path) -> None:
    """Bring a desk's copy back; what both changed is the desk's."""
    found = look_through(record.path, desk)
    bring_back(record, plan(record.path, found, range(len(found.entries))))
