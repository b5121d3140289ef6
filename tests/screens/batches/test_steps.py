"""The steps of one batch."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.shop.values.entities import Pattern
from shopclock.shop.values.kinds import StepState
from tests.screens.batches.reading import press, tile, titles

if TYPE_CHECKING:
    from shopclock.screens.batches.presenter import BatchesPresenter
    from shopclock.shop.values.entities import Batch
    from tests.fake_dialogs import FakeDialogs
    from tests.screens.batches.story import Shop


@pytest.fixture
def opened(presenter: BatchesPresenter, batch: Batch) -> BatchesPresenter:
    press(presenter, f"{batch.name} Paring 95", "Steps")
    return presenter


@pytest.mark.parametrize("state", StepState)
def test_a_step_is_timed_skipped_or_not_timed(
    shop: Shop, opened: BatchesPresenter, batch: Batch, dialogs: FakeDialogs, state: StepState
) -> None:
    dialogs.answers = [state]
    press(opened, "5  Harden")
    assert shop.floor.steps(batch.id)[4].state is state
    assert (tile(opened, "5  Harden").detail == state) is (state is not StepState.TIMED)


def test_each_says_how_many_are_through_and_what_it_took(opened: BatchesPresenter) -> None:
    first = tile(opened, "1  Saw out")
    assert (first.detail, first.aside) == ("7 of 7", "last 5.0")
    assert tile(opened, "3  Drill holes").detail == "0 of 7"


def test_a_step_that_runs_is_not_skipped(
    shop: Shop, opened: BatchesPresenter, batch: Batch, dialogs: FakeDialogs
) -> None:
    step = shop.floor.steps(batch.id)[2]
    shop.start(step)
    dialogs.answers = [StepState.SKIPPED]
    press(opened, "3  Drill holes")
    assert dialogs.asked[-1].words == "Drill holes is running. Stop it first; nothing was changed."
    assert shop.floor.steps(batch.id)[2].state is StepState.TIMED


def test_a_step_is_added_to_this_batch_alone_where_it_is_wanted(
    shop: Shop, opened: BatchesPresenter, batch: Batch, dialogs: FakeDialogs
) -> None:
    other = shop.batch(shop.floor.get(Pattern, batch.pattern_id), 2)
    stage = shop.floor.stage_by_name("Mark")
    assert stage is not None
    dialogs.answers = [str(stage.id), str(shop.floor.steps(batch.id)[1].id)]
    press(opened, "Add a step")
    assert titles(opened)[1:4] == ["2  Profile", "3  Mark", "4  Drill holes"]
    assert [s.position for s in shop.floor.steps(batch.id)] == list(range(len(titles(opened))))
    assert len(shop.floor.steps(other.id)) == len(titles(opened)) - 1
    opened.press_undo()
    assert titles(opened)[1:3] == ["2  Profile", "3  Drill holes"]


def test_a_step_can_be_added_at_the_start(shop: Shop, opened: BatchesPresenter, dialogs: FakeDialogs) -> None:
    stage = shop.floor.stage_by_name("Mark")
    assert stage is not None
    dialogs.answers = [str(stage.id), "first"]
    press(opened, "Add a step")
    assert titles(opened)[:2] == ["1  Mark", "2  Saw out"]
