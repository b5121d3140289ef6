"""Closing a batch: how each piece ends, what is not done, one line for the next time."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.batches.pages.closing import HOW
from shopclock.shop.values.entities import Batch
from shopclock.shop.values.kinds import Outcome, StepState
from tests.screens.batches.reading import press, said, tile, titles

if TYPE_CHECKING:
    from shopclock.screens.batches.presenter import BatchesPresenter
    from tests.fake_dialogs import FakeDialogs
    from tests.screens.batches.story import Shop


@pytest.fixture
def opened(presenter: BatchesPresenter, batch: Batch) -> BatchesPresenter:
    press(presenter, f"{batch.name} Paring 95", "Close")
    return presenter


def outcomes(shop: Shop, batch: Batch) -> dict[str, Outcome | None]:
    return {piece.mark: piece.outcome for piece in shop.floor.pieces(batch.id)}


def test_each_piece_is_finished_unless_told_otherwise(opened: BatchesPresenter) -> None:
    assert {t.title: t.detail for t in opened.state().tiles} == dict.fromkeys("ABCDEFG", "knife")


def test_pieces_that_are_not_through_are_said_and_stop_nobody(
    shop: Shop, opened: BatchesPresenter, batch: Batch, dialogs: FakeDialogs
) -> None:
    assert said(opened) == f"A–G are not through Drill holes and 14 steps more; it can be closed all the same. {HOW}"
    dialogs.answers = ["skipped", "close"]
    press(opened, f"Close {batch.name}")
    assert set(outcomes(shop, batch).values()) == {Outcome.FINISHED}


def test_one_piece_is_spoken_of_as_one(shop: Shop, presenter: BatchesPresenter) -> None:
    batch = shop.batch(shop.pattern("Paring 95"), 2)
    steps = shop.floor.steps(batch.id)
    for step in steps[:-1]:
        shop.skip(step)
    shop.work(steps[-1], 5, marks="A")
    press(presenter, f"{batch.name} Paring 95", "Close")
    assert said(presenter) == f"B is not through Check and pack; it can be closed all the same. {HOW}"
    shop.work(steps[-1], 5, marks="B")
    assert said(presenter) == HOW


def test_outcomes_reasons_and_the_line_are_kept_in_one_press(
    shop: Shop, opened: BatchesPresenter, batch: Batch, dialogs: FakeDialogs
) -> None:
    step = shop.floor.steps(batch.id)[3]
    dialogs.answers = [Outcome.SECOND, Outcome.KEPT, Outcome.SCRAPPED, str(step.id), "warped", "thinner", "skipped"]
    press(opened, "B", "C", "D")
    assert tile(opened, "D").detail == "lost, warped"
    press(opened, "Next time", f"Close {batch.name}")
    ended = outcomes(shop, batch)
    assert [ended[m] for m in "ABCD"] == [Outcome.FINISHED, Outcome.SECOND, Outcome.KEPT, Outcome.SCRAPPED]
    lost = shop.floor.pieces(batch.id)[3]
    assert (lost.lost_step_id, lost.reason) == (step.id, "warped")
    assert shop.floor.get(Batch, batch.id).next_time == "thinner"
    opened.press_undo()
    assert set(outcomes(shop, batch).values()) == {None}
    assert shop.floor.get(Batch, batch.id).closed_us is None


def test_closing_asks_once_for_a_line(shop: Shop, opened: BatchesPresenter, batch: Batch, dialogs: FakeDialogs) -> None:
    dialogs.answers = ["skipped", "write", "harder belts"]
    press(opened, f"Close {batch.name}")
    assert shop.floor.get(Batch, batch.id).next_time == "harder belts"


@pytest.mark.parametrize("answers", [[None], ["write", None]])
def test_going_back_from_the_line_closes_nothing(
    shop: Shop, opened: BatchesPresenter, batch: Batch, dialogs: FakeDialogs, answers: list[str | None]
) -> None:
    dialogs.answers = ["later", *answers]
    press(opened, f"Close {batch.name}")
    assert shop.floor.get(Batch, batch.id).closed_us is None


def test_what_runs_is_said_and_ends_with_the_close(
    shop: Shop, opened: BatchesPresenter, batch: Batch, dialogs: FakeDialogs
) -> None:
    shop.start(shop.floor.steps(batch.id)[2])
    assert "What runs in it ends with the close." in said(opened)
    dialogs.answers = ["skipped", "close"]
    press(opened, f"Close {batch.name}")
    assert shop.floor.running == {}


def test_after_the_close_the_batch_says_what_came_of_it(
    opened: BatchesPresenter, batch: Batch, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["skipped", "close"]
    press(opened, f"Close {batch.name}")
    assert opened.state().title == f"{batch.name} Paring 95"
    assert said(opened) == "7 of 7 knives; 10.0 min each."


@pytest.mark.parametrize(
    ("answer", "state", "came"),
    [
        ("untimed", StepState.NOT_TIMED, "7 of 7 knives; at least 10.0 min each."),
        ("skipped", StepState.SKIPPED, "7 of 7 knives; 10.0 min each."),
        ("later", StepState.TIMED, "7 of 7 knives; at least 10.0 min each."),
    ],
)
def test_closing_asks_once_what_all_steps_without_minutes_were(
    shop: Shop, opened: BatchesPresenter, batch: Batch, dialogs: FakeDialogs, answer: str, state: StepState, came: str
) -> None:
    dialogs.answers = [answer, "close"]
    press(opened, f"Close {batch.name}")
    assert (
        dialogs.asked[0].words == "Drill holes, Grind bevels and 10 steps more have no minutes: not timed, or skipped"
    )
    attended = [step for step in shop.floor.steps(batch.id) if step.kind.attended]
    assert [step.state for step in attended][2:] == [state] * (len(attended) - 2)
    assert said(opened) == came


def test_where_every_step_has_minutes_closing_asks_nothing_of_them(
    shop: Shop, opened: BatchesPresenter, batch: Batch, dialogs: FakeDialogs
) -> None:
    for step in shop.floor.steps(batch.id)[2:]:
        shop.skip(step)
    dialogs.answers = ["close"]
    press(opened, f"Close {batch.name}")
    assert shop.floor.get(Batch, batch.id).closed_us is not None


def test_a_second_stays_a_second(shop: Shop, presenter: BatchesPresenter, batch: Batch, dialogs: FakeDialogs) -> None:
    dialogs.answers = ["skipped", "close"]
    press(presenter, f"{batch.name} Paring 95", "A", "Second")
    presenter.back()
    press(presenter, "Close")
    assert tile(presenter, "A").detail == "second"
    press(presenter, f"Close {batch.name}")
    assert outcomes(shop, batch)["A"] is Outcome.SECOND
    assert titles(presenter) == [*"ABCDEFG", "Note"]
