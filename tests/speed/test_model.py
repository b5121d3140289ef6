"""How long the one model takes, and the pages that ask it: processor time and memory; a report."""

from __future__ import annotations

import time
import tracemalloc
from typing import TYPE_CHECKING

import numpy as np
import pytest

from shopclock.analysis.forecast.forecast import honesty
from shopclock.analysis.forecast.history import Done, History
from shopclock.analysis.learning.shop_record import shop_record
from shopclock.analysis.learning.stage_answer import stage_answer
from shopclock.analysis.learning.stages_table import stages_table
from shopclock.analysis.model.shop_model import fit_shop
from tests.analysis.rows import DAY_US, FREEHAND, JIG, MIN_US, row
from tests.speed.report import say

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.shop.figures.trend_rows import TrendRow

pytestmark = pytest.mark.speed


def rows_of(stages: int, batches: int, seed: int = 1) -> list[TrendRow]:
    """A shop of so many stages and batches, three patterns and two methods."""
    dice = np.random.default_rng(seed)
    found = []
    for batch in range(1, batches + 1):
        luck, pattern = dice.normal(0, 0.1), int(dice.integers(1, 4))
        for stage in range(1, stages + 1):
            minutes = 20 * batch**-0.1 * float(np.exp(luck + dice.normal(0, 0.12)))
            method = JIG if (stage + batch // 50) % 2 else FREEHAND
            found.append(
                row(batch, minutes, 6, method=method, stage_id=stage, pattern_id=pattern, first_us=batch * 14 * DAY_US)
            )
    return found


def processor_s(run: Callable[[], object]) -> float:
    start = time.process_time()
    run()
    return time.process_time() - start


def test_one_fit_of_sixty_stages_and_four_hundred_batches() -> None:
    record = shop_record(rows_of(60, 400))
    rows = record.rows
    learned = processor_s(lambda: record.fit)
    held = min(processor_s(lambda: fit_shop(rows, record.fit)) for _ in range(3))
    tracemalloc.start()
    fit_shop(rows, record.fit)
    most = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    say(f"60 stages × 400 batches, scales held: {held:.2f} s of processor (goal: 0.4), {most:.0f} MB (goal: 60)")
    say(f"with its scales: {learned:.2f} s; spread and likeness of all: {processor_s(lambda: record.pool):.2f} s")
    assert len(record.fit.own) == 60


def test_past_batches_forecast_anew() -> None:
    for stages, batches in ((20, 60), (60, 400)):
        rows = rows_of(stages, batches)
        done = tuple(
            Done(b, 6, 6, 100 * MIN_US, b * 14 * DAY_US, b * 14 * DAY_US + 9 * DAY_US) for b in range(1, batches + 1)
        )
        history = History(tuple(rows), done, {})
        took = processor_s(lambda history=history: honesty(history))
        say(f"hit rate over nine batches, {stages} stages × {batches} batches: {took:.2f} s of processor (goal: 3)")


def test_a_stage_of_eight_thousand_batches() -> None:
    rows = rows_of(1, 8000)
    took = processor_s(lambda: stage_answer(rows, 1))
    say(f"a stage's Trends with 8,000 batches: {took:.2f} s of processor (goal: 1)")
    table = processor_s(lambda: stages_table(rows_of(60, 400), []))
    say(f"the table of 60 stages × 400 batches: {table:.2f} s of processor")
