"""A new batch: pattern, how many, go."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from shopclock.shop.values.entities import Step, Tally
from shopclock.shop.values.kinds import MarkedBy, StepState
from tests.screens.batches.reading import press, said, tile

if TYPE_CHECKING:
    from shopclock.screens.batches.presenter import BatchesPresenter
    from shopclock.views.dialogs import Choice
    from tests.fake_dialogs import FakeDialogs
    from tests.screens.batches.story import Gone, Shop


def test_without_a_pattern_it_says_where_one_is_made_and_goes_there(presenter: BatchesPresenter, gone: Gone) -> None:
    press(presenter, "New batch")
    assert presenter.state().title == "There is no pattern yet"
    assert "Copy a route" in said(presenter)
    press(presenter, "Copy a route")
    assert gone.to == [("copy", None)]


def test_pattern_how_many_and_go_are_three_presses_to_the_bench(
    shop: Shop, presenter: BatchesPresenter, gone: Gone
) -> None:
    shop.pattern("Oyster")
    shop.pattern("Paring 95")
    press(presenter, "New batch")
    press(presenter, "Paring 95", "7", "Go: 7 blades")
    batch = shop.floor.open_batches()[0]
    assert [piece.mark for piece in shop.floor.pieces(batch.id)] == list("ABCDEFG")
    assert gone.to == [("bench", batch.id)]
    assert presenter.state().title == "1 batch open"


def test_which_pattern_is_not_asked_where_there_is_but_one(shop: Shop, presenter: BatchesPresenter) -> None:
    oyster = shop.pattern("Oyster")
    shop.pattern("Paring 95")
    shop.record.press("Away", lambda tx: tx.change(replace(oyster, put_away=True)))
    press(presenter, "New batch")
    assert presenter.state().title == "How many blades of Paring 95"
    press(presenter, "7", "Go: 7 blades")
    assert len(shop.floor.open_batches()) == 1


def test_without_a_number_there_is_no_go(shop: Shop, presenter: BatchesPresenter) -> None:
    shop.pattern("Paring 95")
    press(presenter, "New batch")
    assert not tile(presenter, "Go").enabled
    press(presenter, "Go")
    assert shop.floor.open_batches() == ()


def test_more_than_twelve_are_typed(shop: Shop, presenter: BatchesPresenter, dialogs: FakeDialogs) -> None:
    shop.pattern("Paring 95")
    dialogs.answers = ["24"]
    press(presenter, "New batch", "Another", "Go: 24 blades")
    assert len(shop.floor.pieces(shop.floor.open_batches()[0].id)) == 24


@pytest.mark.parametrize("typed", ["0", "61", "7.5", "-3", "1/2", ""])
def test_what_is_no_count_is_told_and_chooses_nothing(
    shop: Shop, presenter: BatchesPresenter, dialogs: FakeDialogs, typed: str
) -> None:
    shop.pattern("Paring 95")
    dialogs.answers = [typed]
    press(presenter, "New batch", "Another")
    assert dialogs.asked[-1].words == f"{typed} is not a whole number from 1 to 60. Nothing was chosen."
    assert not tile(presenter, "Go").enabled


def test_the_steps_before_where_they_stand_are_not_timed(shop: Shop, presenter: BatchesPresenter) -> None:
    shop.pattern("Paring 95")
    press(presenter, "New batch", "5", "Where do they stand", "4  Grind bevels")
    assert "They stand at Grind bevels" in said(presenter)
    press(presenter, "Go: 5 blades")
    states = [step.state for step in shop.floor.steps(shop.floor.open_batches()[0].id)]
    assert states[:3] == [StepState.NOT_TIMED] * 3
    assert set(states[3:]) == {StepState.TIMED}


def test_pieces_that_stand_at_different_steps_are_told_piece_by_piece(
    shop: Shop, presenter: BatchesPresenter, dialogs: FakeDialogs
) -> None:
    shop.pattern("Paring 95")
    press(presenter, "New batch", "Where do they stand")
    assert not tile(presenter, "Piece by piece").enabled
    press(presenter, "4  Grind bevels", "3", "Where do they stand", "Piece by piece")
    assert tile(presenter, "B").detail == "Grind bevels"
    harden = next(c.key for c in _steps_offered(presenter, dialogs) if c.label == "Harden")
    dialogs.answers = [harden]
    press(presenter, "B")
    presenter.back()
    presenter.back()
    assert "They stand at Grind bevels; steps before it are not timed. B at Harden." in said(presenter)
    press(presenter, "Go: 3 blades")
    (batch,) = shop.floor.open_batches()
    (mark,) = shop.floor.of_batch(Tally, batch.id)
    assert (shop.floor.get(Step, mark.step_id).name, mark.how) == ("Grind bevels", MarkedBy.BEFORE)


def _steps_offered(presenter: BatchesPresenter, dialogs: FakeDialogs) -> tuple[Choice, ...]:
    dialogs.answers = [None]
    press(presenter, "B")
    return dialogs.asked[-1].choices


def test_at_the_first_step_everything_is_timed(shop: Shop, presenter: BatchesPresenter) -> None:
    shop.pattern("Paring 95")
    press(presenter, "New batch", "5", "Where do they stand", "1  Saw out", "Go: 5 blades")
    assert {step.state for step in shop.floor.steps(shop.floor.open_batches()[0].id)} == {StepState.TIMED}


def test_what_was_asked_for_the_next_time_is_said_at_the_start(shop: Shop, presenter: BatchesPresenter) -> None:
    pattern = shop.pattern("Paring 95")
    shop.pattern("Oyster")
    shop.close(shop.batch(pattern, 2), "thinner before hardening")
    press(presenter, "New batch")
    assert tile(presenter, "Paring 95").note == "Next time: thinner before hardening"
    press(presenter, "Paring 95")
    assert "thinner before hardening" in said(presenter)


def test_an_undo_that_takes_the_pattern_away_asks_and_leaves_its_page(
    shop: Shop, presenter: BatchesPresenter, dialogs: FakeDialogs
) -> None:
    shop.pattern("Paring 95")
    press(presenter, "New batch")
    dialogs.answers = ["undo"]
    presenter.press_undo()
    assert [choice.detail for choice in dialogs.asked[-1].choices] == ["the route goes, and its steps", ""]
    assert presenter.state().title == "No batch yet"


def test_go_can_start_the_clock_of_the_first_step_with_it_and_one_undo_takes_both(
    shop: Shop, presenter: BatchesPresenter
) -> None:
    shop.pattern("Paring 95")
    press(presenter, "New batch", "7", "Start: Saw out")
    (running,) = shop.floor.running.values()
    assert len(running.pieces) == 7
    assert presenter.undo_names.startswith("New ")
