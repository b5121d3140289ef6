"""A record of version 2 opens for ever, with the figures that it told; its presses are taken back and put back.

`version_2/` is written by tests/record/freeze.py until version 2 is published, and by nothing from then on.
"""

import json
import lzma
from contextlib import closing
from pathlib import Path

import pytest

from shopclock.record.check.check import check
from shopclock.shop.values.entities import Both, GapAnswer, Leaving, Note, Tool
from shopclock.shop.values.errors import Refusal
from tests.record.freeze import EXPECTED, RECORD, opened, told_of

TOLD = json.loads(EXPECTED.read_text(encoding="utf-8"))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    there = tmp_path / RECORD.name.removesuffix(".xz")
    there.write_bytes(lzma.decompress(RECORD.read_bytes()))
    return there


def test_it_opens_sound_with_the_same_figures(path: Path) -> None:
    opened(path).close()
    assert check(path) == []
    assert told_of(path) == TOLD["figures"], "a rule has changed: see tests/record/freeze.py"


def test_its_presses_are_taken_back_and_put_back(path: Path) -> None:
    with closing(opened(path)) as record:
        assert [record.undo() for _ in TOLD["undone"]] == TOLD["undone"]
        with pytest.raises(Refusal, match="stays: what came after it rests on it"):
            record.undo()
    assert told_of(path) == TOLD["then"]
    assert check(path) == []
    with closing(opened(path)) as record:
        assert [record.put_back() for _ in TOLD["undone"]] == TOLD["undone"][::-1]
        assert record.next_put_back is None
    assert told_of(path) == TOLD["figures"]
    assert check(path) == []


def test_what_version_2_keeps_is_there(path: Path) -> None:
    with closing(opened(path)) as record:
        record.load_since(0)
        for kind in (Leaving, Both, GapAnswer):
            assert len(list(record.floor.all(kind))) == 1
        assert [note.text for note in record.floor.all(Note)] == ["worn belt"] * 3
        assert [(tool.name, tool.setting_now) for tool in record.floor.all(Tool) if tool.name == "Kiln"] == [
            ("Kiln", "200")
        ]
