"""What the review on paper says is what Review says."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from shopclock.exchange.paper.review_facts import ReviewSheet, review_facts
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.review.review import Went
from shopclock.shop.values.entities import ReadingKind
from shopclock.shop.work import readings
from shopclock.views.review_pictures import FILLS
from tests.screens.batches.story import DAY_MIN, Shop

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.shop.values.entities import Batch


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Seven pieces through two steps; B is lost at the second, a week goes by, a third step."""
    made = Shop(tmp_path)
    batch = made.batch(made.pattern("Paring 95"), 7)
    steps = made.floor.steps(batch.id)
    made.work(steps[0], 70)
    made.work(steps[1], 35)
    made.lose(batch, "B", steps[1], "cracked")
    made.clock.go(8 * DAY_MIN)
    made.work(steps[2], 60)
    yield made
    made.record.close()


@pytest.fixture
def batch(shop: Shop) -> Batch:
    return shop.floor.open_batches()[0]


def told(shop: Shop, batch: Batch) -> ReviewSheet:
    return review_facts(shop.record, batch.id, shop.record.instant())


def test_the_bars_are_the_figures_and_add_up(shop: Shop, batch: Batch) -> None:
    sheet, found = told(shop, batch), figures(shop.floor, batch.id, shop.record.instant())
    assert found.whole.per_finished_min is not None
    assert sum(minutes for bar in sheet.bars.rows for _, minutes in bar.parts) == pytest.approx(
        found.whole.per_finished_min
    )
    assert sum(Decimal(bar.number) for bar in sheet.bars.rows) == Decimal("27.5")
    assert sheet.bars.heading == "Minutes per finished knife so far"
    assert (FILLS[Went.LOST], "lost with B") in sheet.bars.legend


def test_a_loss_says_where_why_and_what_it_cost(shop: Shop, batch: Batch) -> None:
    name = shop.floor.steps(batch.id)[1].name
    assert told(shop, batch).losses == (f"B lost at {name}, cracked: 15 min of work in it.",)


def test_days_have_their_hours_and_work_is_dark(shop: Shop, batch: Batch) -> None:
    sheet = told(shop, batch)
    assert [day.number for day in sheet.days.rows] == ["1 h 45", "1 h"]
    assert {span.kind for day in sheet.days.rows for span in day.spans} == {"by hand"}
    assert sheet.days.legend == (("by hand", "by hand"),)


def test_days_in_a_row_without_work_share_a_line(shop: Shop, batch: Batch) -> None:
    cure = next(step for step in shop.floor.steps(batch.id) if step.name == "Cure")
    shop.work(cure, 6 * DAY_MIN)
    sheet = told(shop, batch)
    assert sum(day.name.startswith("… to ") for day in sheet.days.rows) == 1
    assert len(sheet.days.rows) == 3


def test_readings_say_whose_and_what_lies_outside(shop: Shop, batch: Batch) -> None:
    kind = next(kind for kind in shop.floor.all(ReadingKind) if kind.name == "Hardness")
    step = next(step for step in shop.floor.steps(batch.id) if step.stage_id == kind.stage_id)
    a, _, c, *_ = shop.floor.pieces(batch.id)
    shop.record.press("Reading", lambda tx: readings.take(tx, kind, step, a, "59.5"))
    shop.record.press("Reading", lambda tx: readings.take(tx, kind, step, c, "52"))
    assert told(shop, batch).readings == (("Hardness, wanted 60 HRC", "A 59.5, C 52 (below 57 HRC)"),)


def test_a_closed_batch_keeps_its_line_and_says_nothing_of_so_far(shop: Shop, batch: Batch) -> None:
    shop.close(batch, "thinner before hardening")
    sheet = told(shop, batch)
    assert sheet.next_time == "thinner before hardening"
    assert "so far" not in sheet.bars.heading
