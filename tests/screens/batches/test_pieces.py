"""One batch and its pieces: number, set aside, second, kept, lost, cut down, one more."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.shop.values.kinds import Outcome
from tests.screens.batches.reading import press, said, tile, titles

if TYPE_CHECKING:
    from shopclock.screens.batches.presenter import BatchesPresenter
    from shopclock.shop.values.entities import Batch, Piece
    from tests.fake_dialogs import FakeDialogs
    from tests.screens.batches.story import Gone, Shop


@pytest.fixture
def opened(presenter: BatchesPresenter, batch: Batch) -> BatchesPresenter:
    """The batch's page."""
    press(presenter, f"{batch.name} Paring 95")
    return presenter


def piece(shop: Shop, batch: Batch, mark: str) -> Piece:
    return next(p for p in shop.floor.pieces(batch.id) if p.mark == mark)


def test_each_piece_says_where_it_stands(opened: BatchesPresenter) -> None:
    assert titles(opened) == [*"ABCDEFG", "Card", "Note"]
    assert tile(opened, "C").detail == "Drill holes"
    assert said(opened) == "7 blades, 1 h 10 in 1 day."


def test_a_number_is_typed_and_stands_beside_the_mark(opened: BatchesPresenter, dialogs: FakeDialogs) -> None:
    dialogs.answers = ["118"]
    press(opened, "C", "Number")
    opened.back()
    assert tile(opened, "C  118").detail == "Drill holes"


def test_the_same_number_is_refused(shop: Shop, opened: BatchesPresenter, batch: Batch, dialogs: FakeDialogs) -> None:
    dialogs.answers = ["118", "118"]
    press(opened, "C", "Number")
    opened.back()
    press(opened, "D", "Number")
    assert dialogs.asked[-1].words == f"C of {batch.name} has the number 118. Nothing was changed."
    assert piece(shop, batch, "D").number == ""


def test_set_aside_and_back(shop: Shop, opened: BatchesPresenter, batch: Batch) -> None:
    press(opened, "B", "Set aside")
    assert piece(shop, batch, "B").set_aside
    assert said(opened) == "Next is Drill holes, set aside."
    press(opened, "Bring back")
    assert not piece(shop, batch, "B").set_aside


def test_lost_asks_for_step_and_reason(
    shop: Shop, opened: BatchesPresenter, batch: Batch, dialogs: FakeDialogs
) -> None:
    step = shop.floor.steps(batch.id)[2]
    dialogs.answers = [str(step.id), "cracked"]
    press(opened, "E", "Lost")
    lost = piece(shop, batch, "E")
    assert (lost.outcome, lost.lost_step_id, lost.reason) == (Outcome.SCRAPPED, step.id, "cracked")
    assert said(opened) == "Lost, at Drill holes, cracked."
    assert titles(opened) == ["Number", "Pair of scales", "Readings", "Note"]
    opened.back()
    assert tile(opened, "E").detail == "lost, cracked"


@pytest.mark.parametrize("answers", [[None], ["step", None]])
def test_going_back_at_either_question_loses_nothing(
    shop: Shop, opened: BatchesPresenter, batch: Batch, dialogs: FakeDialogs, answers: list[str | None]
) -> None:
    step = shop.floor.steps(batch.id)[2]
    dialogs.answers = [str(step.id) if answer == "step" else answer for answer in answers]
    press(opened, "E", "Lost")
    assert piece(shop, batch, "E").living


def test_what_seldom_happens_is_no_louder_than_the_rest(opened: BatchesPresenter) -> None:
    """Lost was a red plate among eight dark ones: the page of a sound piece looked like an alarm."""
    press(opened, "C")
    assert {button.role for button in opened.state().tiles} == {"plate"}
    assert (tile(opened, "Lost").note, tile(opened, "Lost").note_role) == ("at which step, and why", "red")


def test_the_step_where_it_stands_is_marked_in_the_question(opened: BatchesPresenter, dialogs: FakeDialogs) -> None:
    dialogs.answers = [None]
    press(opened, "E", "Lost")
    assert [c.label for c in dialogs.asked[-1].choices if c.checked] == ["Drill holes"]


@pytest.mark.parametrize(("button", "outcome"), [("Kept", Outcome.KEPT), ("Second", None)])
def test_kept_ends_it_and_second_goes_on(
    shop: Shop, opened: BatchesPresenter, batch: Batch, button: str, outcome: Outcome | None
) -> None:
    press(opened, "F", button)
    assert piece(shop, batch, "F").outcome is outcome
    assert piece(shop, batch, "F").second is (button == "Second")


def test_cut_down_goes_on_in_another_open_batch(
    shop: Shop, presenter: BatchesPresenter, batch: Batch, dialogs: FakeDialogs
) -> None:
    other = shop.batch(shop.pattern("Oyster"), 2)
    dialogs.answers = [str(other.id)]
    press(presenter, f"{batch.name} Paring 95", "G", "Cut down")
    assert piece(shop, batch, "G").outcome is Outcome.CUT_DOWN
    assert shop.floor.pieces(other.id)[-1].from_piece_id == piece(shop, batch, "G").id


def test_without_another_open_batch_nothing_can_be_cut_down(opened: BatchesPresenter) -> None:
    press(opened, "G")
    assert "Cut down" not in titles(opened)


def test_one_more_gets_the_next_mark(opened: BatchesPresenter) -> None:
    press(opened, "One more blade")
    assert titles(opened)[-3] == "H"


def test_every_change_can_be_taken_back_under_its_name(shop: Shop, opened: BatchesPresenter, batch: Batch) -> None:
    press(opened, "B", "Set aside")
    assert opened.state().undo == "Set aside: B, 26-01, 16:23"
    opened.press_undo()
    assert not piece(shop, batch, "B").set_aside


def test_to_the_bench_names_the_batch(opened: BatchesPresenter, batch: Batch, gone: Gone) -> None:
    press(opened, "To the bench")
    assert gone.to == [("bench", batch.id)]


def test_a_closed_batch_is_read_and_only_its_steps_and_times_can_be_put_right(
    shop: Shop, opened: BatchesPresenter, batch: Batch
) -> None:
    shop.close(batch, "softer belts")
    assert said(opened) == "7 of 7 knives; 10.0 min each. Next time: softer belts"
    assert [action.title for action in opened.state().actions] == ["Review", "Steps", "Amend times"]
