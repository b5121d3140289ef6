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
from pathlib import Path
from typing import Any

import pytest

from shopclock.exchange.workbook.figures_json import figures_json
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.exchange.workbook.sheets import batch_lines
from shopclock.record.check.check import check
from shopclock.record.copies.unarchive import unarchive
from shopclock.record.merge.merge_apply import merge, plan_merge
from shopclock.record.merge.merge_compare import look_through
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.values.entities import Interval, Stage
from shopclock.shop.values.errors import ShopError
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


def test_the_copy_that_was_taken_along_comes_back(tmp_path: Path) -> None:
    shop, desk = unpacked("shop", tmp_path), unpacked("desk", tmp_path)
    with closing(opened(shop)) as record:
        found = look_through(shop, desk)
        merge(record, plan_merge(shop, found, range(len(found.entries))))
        assert "Draw-file" in {stage.name for stage in record.floor.all(Stage)}
    assert check(shop) == []
