"""The demo shop is a record like any other: nothing in it that presses could not have made."""

import math

import pytest

from shopclock.record.press.record import Record
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.values.entities import Batch, Pattern
from tests.demo.conftest import Written
from tests.shop.sound import assert_sound
from tests.shop.workshop import ToyClock


def test_both_sums_hold_hands_do_one_thing_at_a_time_and_figures_add_up(demo: Written) -> None:
    assert_sound(demo.floor, demo.end_us)


def test_no_interval_is_without_length_and_none_lies_ahead(demo: Written) -> None:
    for interval in demo.intervals():
        assert interval.start_us < demo.end_us
        assert interval.end_us is None or interval.start_us < interval.end_us <= demo.end_us


def test_every_figure_is_a_number(demo: Written) -> None:
    for batch in demo.floor.all(Batch):
        found = figures(demo.floor, batch.id, demo.end_us)
        for stage in (found.whole, *found.stages):
            for value in (stage.per_piece_min, stage.per_finished_min):
                assert value is None or (math.isfinite(value) and value >= 0)


@pytest.mark.parametrize(
    ("pattern", "least", "most"), [("Oyster", 60, 95), ("Paring 95", 170, 250), ("Cook's 180", 230, 320)]
)
def test_minutes_of_a_finished_knife_are_plausible(demo: Written, pattern: str, least: float, most: float) -> None:
    whole = [
        figures(demo.floor, batch.id, demo.end_us).whole.per_finished_min
        for batch in demo.closed()
        if demo.floor.get(Pattern, batch.pattern_id).name == pattern
    ]
    assert whole
    assert all(minutes is not None and least < minutes < most for minutes in whole)


def test_the_last_press_can_be_taken_back(demo: Written, tmp_path_factory: pytest.TempPathFactory) -> None:
    copy = tmp_path_factory.mktemp("copy") / "demo.shopclock"
    copy.write_bytes(demo.path.read_bytes())
    record = Record.open(copy, ToyClock(demo.end_us))
    try:
        undone = [record.undo() for _ in range(4)]
        assert undone == ["Stop", "Done: B", "Done: A", "Running"]
        assert any(interval.kind.attended for interval in record.floor.running.values())
    finally:
        record.close()
