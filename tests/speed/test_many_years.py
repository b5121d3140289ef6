"""Ten benches, ten years: a million intervals. A report; only that the figures are right is asserted."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import fields
from statistics import median
from typing import TYPE_CHECKING

import numpy as np
import pytest

from shopclock.analysis.learning.frame import row_frame
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.figures.trend_rows import TrendRow, rows_of_batch
from tests.speed.large import large_record
from tests.speed.many import TIMES, many_record
from tests.speed.report import say
from tests.speed.test_press import a_round, timed_ms, told

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    import numpy.typing as npt

    from tests.record.on_disk import DiskShop

pytestmark = [pytest.mark.speed, pytest.mark.long]

ROUNDS = 25
NAMES = [field.name for field in fields(TrendRow)]
SELECT = f"SELECT {', '.join(NAMES)} FROM stage_row WHERE stage_id != 0 ORDER BY id"  # noqa: S608  # the names are ours


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> Iterator[DiskShop]:
    made = many_record(tmp_path_factory.mktemp("many"))
    yield made
    made.close()


def by_hand(path: Path) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.int64]]:
    """The same columns by sqlite3 alone, and one NumPy pass: minutes per piece and the count of each series."""
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute(SELECT).fetchall()
    columns = dict(zip(NAMES, zip(*rows, strict=True), strict=True))
    table = {
        name: np.array([value or 0 for value in column] if None in column else column, dtype=np.int64)
        for name, column in columns.items()
    }
    series = (table["stage_id"] << 32) + (table["method_id"] << 1) + table["mixed"]
    order = np.lexsort((table["batch_id"], table["first_us"], series))
    pieces, sorted_series = table["pieces"][order], series[order]
    made = np.cumsum(pieces)
    first = np.flatnonzero(np.concatenate(([True], sorted_series[1:] != sorted_series[:-1])))
    before = np.repeat(made[first] - pieces[first], np.diff(np.append(first, len(made))))
    return table["run_us"][order] / pieces / 60e6, made - before


def test_trends_against_a_plain_select_and_a_pass_by_hand(many: DiskShop) -> None:
    reads, now = many.record.reads, many.clock.now_us
    closed = len(reads.stage_rows(now))
    many.record.reads.forget()
    ours, plain = [], []
    for _ in range(5):
        ours.append(timed_ms(lambda: (reads.forget(), row_frame(reads.stage_rows(now)))))
        plain.append(timed_ms(lambda: by_hand(many.path)))
    frame = row_frame(reads.stage_rows(now))
    minutes, made = by_hand(many.path)
    say(f"{closed} rows: {median(ours):.0f} ms, by hand {median(plain):.0f} ms")
    say(f"ratio at the median {median(ours) / median(plain):.2f} (goal: at most 1.5)")
    assert np.isclose(frame["minutes"].sum(), minutes.sum())
    assert frame["last_piece"].sum() == made.sum()
    say(f"the rows alone in {timed_ms(lambda: (reads.forget(), reads.stage_rows(now))):.0f} ms")


def pressed(shop: DiskShop) -> list[float]:
    found = []
    for n in range(ROUNDS):
        for rule in a_round(shop, n):
            shop.clock.on(3)
            found.append(timed_ms(lambda rule=rule: shop.press(rule)))
        for _ in range(4):
            shop.undo()
    return found


def test_a_press_costs_the_same_whatever_the_records_size(many: DiskShop, tmp_path: Path) -> None:
    small = large_record(tmp_path, 10_000)
    few = pressed(small)
    small.close()
    much = pressed(many)
    say(told("a press at 10,000 intervals", few))
    say(told(f"a press at {TIMES * 100_000:,}", much))
    say(f"ratio at the median {median(much) / median(few):.2f} (goal: 1)")
    assert len(few) == len(much)


def test_opening_and_taking_a_new_batch_back(many: DiskShop) -> None:
    many.close()
    opened: list[float] = []
    opened.append(timed_ms(lambda: setattr(many, "record", type(many.record).open(many.path, many.clock))))
    many.clock.on(1)
    start = timed_ms(lambda: many.new_batch(7))
    back = timed_ms(many.undo)
    say(f"opened in {opened[0]:.0f} ms, a batch started in {start:.1f} ms and taken back in {back:.1f} ms")
    assert many.record.next_undo is not None


def test_figures_kept_are_those_worked_out_anew_in_every_hundredth_batch(many: DiskShop) -> None:
    """All of it is `check`'s; here a slice through all the years."""
    with ReadOnlyRecord.open(many.path) as reading:
        closed = sorted({row.batch_id for row in reading.reads.stage_rows(reading.newest_us)})[::100]
        kept = [*reading.reads.stage_rows(reading.newest_us), *reading.reads.whole_rows(reading.newest_us)]
        for batch_id in closed:
            floor = reading.batch_floor(batch_id)
            assert set(rows_of_batch(floor, batch_id, reading.newest_us)) == {r for r in kept if r.batch_id == batch_id}
    assert len(closed) > 50
