"""A batch is timed by what a screen reader can press alone, on the real bus: loss, wait, alarm and Next among it."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import pytest

from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.values.entities import Interval, Piece, Step
from tests.walks.on_the_bus import missing, reader
from tests.walks.walk import new_record

if TYPE_CHECKING:
    from pathlib import Path

BEGIN = """
press Shop
press Patterns
press Copy a route
press Mugs
type Tide mug
press OK
press New batch
press 4
press Go
press Whole route
press Throw
"""


@pytest.mark.skipif(bool(missing()), reason=f"not on this machine: {missing()}")
def test_a_batch_is_timed_by_what_a_screen_reader_can_press(tmp_path: Path) -> None:
    record, place = new_record(tmp_path / "pots.shopclock"), tmp_path / "run"
    place.mkdir()
    with reader(record, place) as by_reader:
        by_reader.go(BEGIN)
        assert by_reader.named("Shopclock: The shop's record").role == "frame"
        tab = next(thing for thing in by_reader.tree if thing[:2] == ("page tab", "Bench"))
        assert "selected" in tab.states
        assert by_reader.named("Throw").role == "heading"
        assert by_reader.named("A, to go").role == "push button"
        by_reader.go("wait 6")
        assert by_reader.named("6 min").role == "label"
        assert by_reader.announced("Throw") == ["Copied Tide mug", "New 26-01", "Start Throw"]
        by_reader.go("press Done: A")
        assert by_reader.named("A, through")
        by_reader.go("wait 6\npress From afar\npress Not right\npress B\npress Lost\npress cracked")
        by_reader.go("wait 6\npress From afar\npress Next: Stiffen")
        assert by_reader.announced("Stiffen") == ["Done: A", "B lost", "Next: Stiffen"]
        by_reader.go("wait 1100\nfocus Stiffen")
        alarm = next(thing for thing in by_reader.tree if thing.role == "alert")
        assert "Stiffen" in alarm.name
        assert "focused" in alarm.states
        assert by_reader.announced(".") == [f"{alarm.name}. {alarm.description}."]
        assert not any(thing.role == "page tab" for thing in by_reader.tree)
        by_reader.go("press Take out\npress Start: Trim\nwait 10\npress From afar\npress Stop")
        assert by_reader.announced("Stop") == ["Out: Stiffen", "Start Trim", "Stop"]
    with ReadOnlyRecord.open(record) as shop:
        floor = shop.floor
        minutes: Counter[str] = Counter()
        for one in floor.all(Interval):
            minutes[floor.get(Step, one.step_id or 0).name] += round(((one.end_us or 0) - one.start_us) / 60_000_000)
        waited = 1112 + 1100  # A since its Done, the others since Next
        assert minutes == {"Throw": 18, "Stiffen": waited, "Trim": 10}
        assert [piece.mark for piece in floor.all(Piece) if piece.outcome is not None] == ["B"]
