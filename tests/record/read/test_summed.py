"""Figures of closed batches from sums of the database are those of their single stretches."""

from collections.abc import Callable
from pathlib import Path

import pytest

from shopclock.record.read import read_only as reading_of_record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.values.entities import Batch, Interval

NOW_US = 1_792_868_400_000_000


@pytest.fixture(scope="module")
def demo(copied_demo: Callable[..., Path]) -> Path:
    return copied_demo(NOW_US)


@pytest.mark.parametrize("at_once", [3, 1000])
def test_figures_are_the_same_whether_stretches_are_read_one_by_one_or_in_sum(
    demo: Path, monkeypatch: pytest.MonkeyPatch, at_once: int
) -> None:
    monkeypatch.setattr(reading_of_record, "BATCHES_AT_ONCE", at_once)
    with ReadOnlyRecord.open(demo) as reading:
        numbers = [batch.id for batch in reading.floor.all(Batch)]
        found = [(number, figures(floor, number, NOW_US)) for number, floor in reading.figure_floors(numbers)]
        assert [number for number, _ in found] == numbers
        assert sum(told.whole.all_us for _, told in found) > 0
        for number, told in found:
            assert told == figures(reading.batch_floor(number), number, NOW_US)


def test_a_closed_batch_is_read_in_few_stretches(demo: Path) -> None:
    with ReadOnlyRecord.open(demo) as reading:
        closed = next(batch for batch in reading.floor.all(Batch) if not reading.floor.steps(batch.id))
        ((_, floor),) = reading.figure_floors([closed.id])
        whole = reading.batch_floor(closed.id)
        assert 0 < len(floor.of_batch(Interval, closed.id)) < len(whole.of_batch(Interval, closed.id))
        assert sum(us for shares in floor.shares.values() for _, us in shares) == sum(
            us for shares in whole.shares.values() for _, us in shares
        )
