"""All batches: where the pieces stand, what it took, what came of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.batches.where import age_text
from tests.screens.batches.reading import said, tile, titles
from tests.screens.batches.story import DAY_MIN, MINUTE_US

if TYPE_CHECKING:
    from shopclock.screens.batches.presenter import BatchesPresenter
    from shopclock.shop.values.entities import Batch
    from tests.screens.batches.story import Shop


def test_an_empty_shop_says_what_to_do(presenter: BatchesPresenter) -> None:
    assert presenter.state().title == "No batch yet"
    assert "which pattern and how many" in said(presenter)


def test_open_ones_come_first_each_newest_first(shop: Shop, presenter: BatchesPresenter) -> None:
    pattern = shop.pattern("Oyster")
    made = [shop.batch(pattern, 2) for _ in range(4)]
    shop.close(made[0])
    shop.clock.go(5)
    shop.close(made[2])
    assert titles(presenter) == [f"{made[i].name} Oyster" for i in (3, 1, 2, 0)]


def test_an_open_one_shows_its_hours_its_days_and_where_the_pieces_stand(
    shop: Shop, presenter: BatchesPresenter, batch: Batch
) -> None:
    third = shop.floor.steps(batch.id)[2]
    shop.work(third, 20, marks="AB")
    shop.clock.go(2 * DAY_MIN)
    shown = tile(presenter, f"{batch.name} Paring 95")
    assert shown.detail == "7 blades · 1 h 30 in 3 days"
    assert shown.route is not None
    assert shown.route.fills[:4] == (1.0, 1.0, 2 / 7, 0.0)
    assert shown.route.marks == ((2, "C–G"), (3, "A, B"))
    assert shown.route.spoken == "C–G at Drill holes; A, B at Grind bevels"


def test_a_closed_one_shows_finished_of_started_and_minutes_each(
    shop: Shop, presenter: BatchesPresenter, batch: Batch
) -> None:
    shop.lose(batch, "E", shop.floor.steps(batch.id)[2], "cracked")
    shop.close(batch)
    shown = tile(presenter, f"{batch.name} Paring 95")
    assert shown.detail.startswith("6 of 7 knives · closed ")
    assert shown.figure == f"{70 / 6:.1f} min a knife"
    assert shown.route is None


def test_minutes_are_at_least_where_a_step_was_not_timed(shop: Shop, presenter: BatchesPresenter, batch: Batch) -> None:
    shop.not_timed(shop.floor.steps(batch.id)[5])
    assert tile(presenter, f"{batch.name} Paring 95").detail.startswith("7 blades \u00b7 at least ")
    shop.close(batch)
    assert tile(presenter, f"{batch.name} Paring 95").figure.startswith("at least ")


def test_where_none_finished_there_is_no_quotient(shop: Shop, presenter: BatchesPresenter, batch: Batch) -> None:
    for mark in "ABCDEFG":
        shop.lose(batch, mark, shop.floor.steps(batch.id)[2], "soft")
    shop.close(batch)
    assert tile(presenter, f"{batch.name} Paring 95").figure == ""


@pytest.mark.parametrize(("minutes", "text"), [(0, "in 1 day"), (DAY_MIN - 1, "in 1 day"), (DAY_MIN, "in 2 days")])
def test_days_count_from_the_first(batch: Batch, minutes: int, text: str) -> None:
    assert age_text(batch, batch.started_us + minutes * MINUTE_US) == text


def test_a_skipped_step_is_no_part_of_the_outline(shop: Shop, presenter: BatchesPresenter, batch: Batch) -> None:
    before = tile(presenter, f"{batch.name} Paring 95").route
    assert before is not None
    shop.skip(shop.floor.steps(batch.id)[4])
    after = tile(presenter, f"{batch.name} Paring 95").route
    assert after is not None
    assert len(after.fills) == len(before.fills) - 1
