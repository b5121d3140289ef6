"""What Review says of a batch and where its buttons lead, without a window."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from shopclock.exchange.paper.page import A4
from shopclock.screens.long_work.background import AtOnce
from shopclock.shop.setup import costs
from shopclock.shop.values.entities import Batch, Interval
from shopclock.shop.values.kinds import Outcome, StepState
from shopclock.shop.values.money import Manner
from shopclock.shop.work import begin, finish
from shopclock.views.bars_picture import BarsPicture, LinesPicture
from shopclock.views.dialogs import Choice
from shopclock.views.dots_picture import DotsPicture
from tests.screens.batches.reading import press, said, tile, titles

if TYPE_CHECKING:
    from shopclock.screens.paged.paper import Make
    from shopclock.screens.review.presenter import ReviewPresenter
    from shopclock.shop.values.entities import Pattern, Step
    from tests.fake_dialogs import FakeDialogs
    from tests.screens.batches.story import Gone, Shop


def worked(shop: Shop, pattern: Pattern, minutes: float, n: int = 7, *, close: bool = True) -> Batch:
    """A batch through its first four steps; B is lost at the fourth."""
    batch = shop.batch(pattern, n)
    for step in shop.floor.steps(batch.id)[:4]:
        shop.work(step, minutes)
    shop.lose(batch, "B", shop.floor.steps(batch.id)[3], "warped")
    if close:
        shop.clock.go(60)
        shop.close(batch)
    return batch


def bars(presenter: ReviewPresenter) -> BarsPicture:
    chart = presenter.state().chart
    assert chart is not None
    assert isinstance(chart.main, BarsPicture)
    return chart.main


def test_an_empty_shop_says_so_and_leads_to_batches(presenter: ReviewPresenter, gone: Gone) -> None:
    assert presenter.state().title == "No batch yet"
    assert presenter.state().chart is None
    press(presenter, "To Batches")
    assert gone.to == [("batches", None)]


def test_the_last_closed_batch_comes_first(shop: Shop, presenter: ReviewPresenter) -> None:
    pattern = shop.pattern("Paring 95")
    first = worked(shop, pattern, 21)
    assert first.name in said(presenter)
    second = worked(shop, pattern, 35)
    worked(shop, pattern, 14, close=False)
    assert second.name in said(presenter)
    assert presenter.state().title == "23 min of work in each knife: 20 min its own, 3 min lost with B."


@pytest.mark.parametrize(
    ("answer", "least", "undo"), [("untimed", "At least ", "Not timed: 26-01"), ("skipped", "", "Skipped: 26-01")]
)
def test_what_steps_without_minutes_were_is_asked_as_long_as_it_is_open(
    shop: Shop, presenter: ReviewPresenter, dialogs: FakeDialogs, answer: str, least: str, undo: str
) -> None:
    batch = shop.batch(shop.pattern("Paring 95"), 3)
    for step in shop.floor.steps(batch.id)[:2]:
        shop.work(step, 20)
    for step in shop.floor.steps(batch.id)[3:]:
        shop.skip(step)
    assert "No minutes" not in [action.title for action in presenter.state().actions]
    shop.close(batch, skipped=False)
    assert presenter.state().title.startswith("At least 13 min of work in each knife")
    assert tile(presenter, "No minutes").detail == "Drill holes has no minutes"
    dialogs.answers = [None, answer]
    press(presenter, "No minutes", "No minutes")
    assert dialogs.asked[-1].words == "Drill holes has no minutes in 26-01: not timed, or skipped"
    assert presenter.state().title == f"{least}13 min of work in each knife."
    assert "No minutes" not in [action.title for action in presenter.state().actions]
    assert presenter.undo_names == undo


def test_batches_closed_before_it_was_asked_are_answered_by_one_press(
    shop: Shop, presenter: ReviewPresenter, dialogs: FakeDialogs
) -> None:
    pattern, made = shop.pattern("Paring 95"), []
    for _ in range(3):
        batch = shop.batch(pattern, 3)
        for step in shop.floor.steps(batch.id)[:2]:
            shop.work(step, 20)
        for step in shop.floor.steps(batch.id)[3:]:
            shop.skip(step)
        shop.close(batch, skipped=False)
        made.append(batch)
    for batch in made[:2]:
        before = shop.floor.get(Batch, batch.id)
        shop.record.press("As it was", lambda tx, b=before: tx.change(replace(tx.current(b), rules=1)))
    presenter.choose(made[0].id)
    dialogs.answers = ["all not timed"]
    press(presenter, "No minutes")
    assert [choice.label for choice in dialogs.asked[-1].choices] == [
        "Not timed", "Skipped", "Not timed in all 2 batches", "Skipped in all 2 batches",
    ]  # fmt: skip
    states = {b.name: [s.state for s in shop.floor.steps(b.id)][2] for b in made}
    assert list(states.values()) == [StepState.NOT_TIMED, StepState.NOT_TIMED, StepState.TIMED]
    assert presenter.undo_names == "Not timed: 2 batches"
    presenter.choose(made[2].id)
    assert tile(presenter, "No minutes").detail == "Drill holes has no minutes"


def test_a_chosen_batch_stays_until_another_is_closed(shop: Shop, presenter: ReviewPresenter) -> None:
    pattern = shop.pattern("Paring 95")
    first, _ = worked(shop, pattern, 21), worked(shop, pattern, 35)
    presenter.choose(first.id)
    assert first.name in said(presenter)
    newest = worked(shop, pattern, 14)
    assert newest.name in said(presenter)


def test_another_batch_is_chosen_from_tiles_newest_first(shop: Shop, presenter: ReviewPresenter) -> None:
    pattern = shop.pattern("Paring 95")
    first, second = worked(shop, pattern, 21), worked(shop, pattern, 35)
    press(presenter, "Another batch")
    assert titles(presenter) == [f"{second.name} Paring 95", f"{first.name} Paring 95"]
    press(presenter, f"{first.name} Paring 95")
    assert first.name in said(presenter)
    assert len(presenter.state().trail) == 1


def test_the_numbers_beside_the_bars_add_up_and_are_as_long_as_the_bars(shop: Shop, presenter: ReviewPresenter) -> None:
    worked(shop, shop.pattern("Paring 95"), 21)
    rows = bars(presenter).rows
    assert sum(float(row.number) for row in rows) == pytest.approx(4 * 21 / 6)
    assert [sum(n for _, n in row.parts) for row in rows] == pytest.approx([21 / 6] * 4)
    assert [name for _, name in bars(presenter).legend] == ["its own", "lost with B"]


def test_by_size_puts_the_longest_first_and_back(shop: Shop, presenter: ReviewPresenter) -> None:
    batch = shop.batch(shop.pattern("Paring 95"), 2)
    steps = shop.floor.steps(batch.id)[:3]
    for step, minutes in zip(steps, (5, 50, 20), strict=True):
        shop.work(step, minutes)
    names = [row.name for row in bars(presenter).rows]
    press(presenter, "By size")
    assert [row.name for row in bars(presenter).rows] == [names[1], names[2], names[0]]
    press(presenter, "By route")
    assert [row.name for row in bars(presenter).rows] == names


def test_usual_ranges_stand_across_the_bars_from_the_fourth_batch_before_on(
    shop: Shop, presenter: ReviewPresenter
) -> None:
    pattern = shop.pattern("Paring 95")
    for minutes in (21, 28, 35):
        worked(shop, pattern, minutes)
    worked(shop, pattern, 42)
    assert {row.low for row in bars(presenter).rows} == {None}
    worked(shop, pattern, 28)
    first = bars(presenter).rows[0]
    assert (first.low, first.high) == pytest.approx((3.75, 5.25))
    assert first.word == ""


def test_outside_all_of_its_last_eight_has_a_word(shop: Shop, presenter: ReviewPresenter) -> None:
    pattern = shop.pattern("Paring 95")
    for n in range(8):
        worked(shop, pattern, 21 + n)
    worked(shop, pattern, 14)
    assert bars(presenter).rows[0].word == "quicker"
    assert "quicker than usual" in said(presenter)


def test_all_lost_shows_minutes_and_no_quotient(shop: Shop, presenter: ReviewPresenter) -> None:
    batch = shop.batch(shop.pattern("Paring 95"), 2)
    shop.work(shop.floor.steps(batch.id)[0], 30)
    for mark in "AB":
        shop.lose(batch, mark, shop.floor.steps(batch.id)[1], "soft")
    shop.close(batch)
    assert presenter.state().title == "No knife was finished; 30 min of work: 30 min lost with A, B."
    assert bars(presenter).heading == "Minutes"
    assert [row.number for row in bars(presenter).rows] == ["30.0"]


def test_kept_pieces_are_told_apart(shop: Shop, presenter: ReviewPresenter) -> None:
    batch = shop.batch(shop.pattern("Paring 95"), 3)
    shop.work(shop.floor.steps(batch.id)[0], 30)
    shop.close(batch, outcomes={shop.floor.pieces(batch.id)[2].id: Outcome.KEPT})
    assert presenter.state().title == "15 min of work in each knife: 10 min its own, 5 min kept with C."


def test_a_batch_with_no_minutes_has_a_sentence_on_every_page(shop: Shop, presenter: ReviewPresenter) -> None:
    pattern = shop.pattern("Paring 95")
    batch, other = shop.batch(pattern, 2), shop.batch(pattern, 3)
    presenter.choose(batch.id)
    assert presenter.state().title == "No work is timed in this batch yet."
    press(presenter, "The days")
    assert presenter.state().title == "No work is timed yet"
    presenter.back()
    press(presenter, "The pieces")
    assert "no spread to show" in said(presenter)
    presenter.back()
    press(presenter, "Beside another", f"{other.name} Paring 95")
    assert presenter.state().title.startswith("No minutes for each knife in ")


def test_the_days_show_by_hand_and_waits(shop: Shop, presenter: ReviewPresenter) -> None:
    worked(shop, shop.pattern("Paring 95"), 21)
    press(presenter, "The days")
    chart = presenter.state().chart
    assert chart is not None
    assert isinstance(chart.main, LinesPicture)
    assert [kind for kind, _ in chart.main.legend] == ["by hand"]
    assert [row.number for row in chart.main.rows] == ["1 h 24"]
    assert all(0 <= span.start < span.end <= 1 for row in chart.main.rows for span in row.spans)


def test_a_loss_says_step_reason_and_minutes(shop: Shop, presenter: ReviewPresenter) -> None:
    batch = worked(shop, shop.pattern("Paring 95"), 21)
    press(presenter, "The pieces")
    step = shop.floor.steps(batch.id)[3]
    assert f"B lost at {step.name} (warped): 12 min gone with it." in said(presenter)


def test_beside_another_takes_only_the_same_pattern(shop: Shop, presenter: ReviewPresenter) -> None:
    paring, oyster = shop.pattern("Paring 95"), shop.pattern("Oyster")
    worked(shop, oyster, 21)
    first, second = worked(shop, paring, 21), worked(shop, paring, 35)
    press(presenter, "Beside another")
    assert titles(presenter) == [f"{first.name} Paring 95"]
    press(presenter, f"{first.name} Paring 95")
    sentence = f"23 min in {second.name} for each knife, 14 min in {first.name}: 9 min more."
    assert presenter.state().title == sentence
    assert all(row.number and row.second_number for row in bars(presenter).rows)


def test_a_pattern_made_once_has_none_to_put_beside(shop: Shop, presenter: ReviewPresenter) -> None:
    batch = worked(shop, shop.pattern("Paring 95"), 21)
    press(presenter, "Beside another")
    assert presenter.state().title.startswith(f"{batch.name} is the only batch of Paring 95")


def test_the_sheet_is_asked_for(
    shop: Shop, presenter: ReviewPresenter, dialogs: FakeDialogs, sheets: list[str]
) -> None:
    worked(shop, shop.pattern("Paring 95"), 21)
    dialogs.answers = ["sheet"]
    press(presenter, "Print or save")
    assert sheets == ["all"]


def test_the_chart_is_saved_under_its_sentence_and_it_is_told_where(
    shop: Shop, presenter: ReviewPresenter, dialogs: FakeDialogs, sheets: list[str]
) -> None:
    batch = worked(shop, shop.pattern("Paring 95"), 21)
    asked: list[tuple[str, str]] = []
    ways = [Choice("save 0", "Save it"), Choice("copy chart", "Copy the chart")]
    presenter.on_save(lambda: ways, lambda of, heading, way: asked.append((of.name, heading, way)) or "Saved as x.")
    dialogs.answers = ["picture", "save 0"]
    press(presenter, "Print or save")
    assert asked == [(batch.name, f"{presenter.state().title} {said(presenter)}", "save 0")]
    assert dialogs.asked[-1].words == "Saved as x."
    assert sheets == []


def test_right_first_time_is_one_line_with_the_stages_where_something_was_wrong(
    shop: Shop, presenter: ReviewPresenter
) -> None:
    batch = worked(shop, shop.pattern("Paring 95"), 21)
    press(presenter, "The pieces")
    lost_at = shop.floor.steps(batch.id)[3].name
    assert presenter.state().lines[1].text == (
        f"Right first time: 6 of 7 blades, 86 % through all stages; not at {lost_at} 6 of 7."
    )
    assert [action.title for action in presenter.state().actions] == ["Minutes each"]


def test_right_first_time_of_an_open_batch_is_so_far_and_without_a_piece_nothing_is_said(
    shop: Shop, presenter: ReviewPresenter
) -> None:
    pattern = shop.pattern("Paring 95")
    worked(shop, pattern, 14, close=False)
    press(presenter, "The pieces")
    assert presenter.state().lines[1].text.startswith("Right first time so far, 86 % through all stages; not at ")
    presenter.choose(shop.batch(pattern, 3).id)
    press(presenter, "The pieces")
    assert "Right first" not in said(presenter)


def one_by_one(shop: Shop, step: Step, minutes: dict[str, float]) -> None:
    """Work a step piece by piece, each so many minutes."""
    interval, _ = shop.record.press("Start", lambda tx: begin.begin(tx, step))
    for mark, each in minutes.items():
        shop.clock.go(each)
        piece = next(p for p in shop.floor.pieces(step.batch_id) if p.mark == mark)
        shop.record.press(
            "Done", lambda tx, piece=piece: finish.one_done(tx, tx.floor.get(Interval, interval.id), piece)
        )
    if shop.floor.get(Interval, interval.id).end_us is None:
        shop.record.press("Stop", begin.stop)


def test_each_piece_is_a_dot_and_the_sentence_names_the_one_that_stands_out(
    shop: Shop, presenter: ReviewPresenter
) -> None:
    batch = shop.batch(shop.pattern("Paring 95"), 4)
    steps = [step for step in shop.floor.steps(batch.id) if step.one_by_one][:4]
    one_by_one(shop, steps[0], {"A": 10, "B": 8, "C": 9, "D": 8})
    one_by_one(shop, steps[1], {"A": 8, "B": 7, "C": 26, "D": 9})
    one_by_one(shop, steps[2], {"A": 5})
    shop.lose(batch, "B", steps[3], "warped")
    names = [step.name for step in steps]
    press(presenter, "The pieces")
    state = presenter.state()
    assert state.title == f"C took longest at {names[1]}: 26.0 min against 8.5."
    assert f"B lost at {names[3]} (warped): 15 min gone with it." in state.lines[0].text
    assert state.chart is not None
    assert isinstance(state.chart.main, DotsPicture)
    first, second, third = state.chart.main.rows
    assert [(dot.mark, dot.minutes, dot.lost) for dot in first.dots] == [
        ("A", 10.0, False),
        ("B", 8.0, True),
        ("C", 9.0, False),
        ("D", 8.0, False),
    ]
    assert (first.middle, first.number, first.longest.mark, first.told) == (8.5, "8.5", "A", False)
    assert (second.told, second.longest.mark) == (True, "C")
    assert (third.middle, third.note) == (None, "one blade: no spread")
    press(presenter, "Minutes each")
    assert "| B | " in presenter.state().text.splitlines()[0]
    assert presenter.state().text.splitlines()[2].endswith("| 10.0 | 8.0 | 9.0 | 8.0 |")
    assert presenter.state().text.splitlines()[4].endswith("| 5.0 | – | – | – |")


def test_what_a_batch_earned_is_a_line_once_a_price_is_set(shop: Shop, presenter: ReviewPresenter) -> None:
    pattern = shop.pattern("Paring 95")
    worked(shop, pattern, 21)
    presenter.reckon_by(AtOnce(), Manner())
    assert len(presenter.state().lines) == 1
    shop.record.press("asked", lambda tx: costs.ask(tx, pattern, "120"))
    assert presenter.state().lines[1].text.startswith("Earned EUR\u00a0")


def test_taken_along_on_paper_it_says_what_the_page_says(
    shop: Shop, presenter: ReviewPresenter, dialogs: FakeDialogs
) -> None:
    batch = worked(shop, shop.pattern("Paring 95"), 21)
    out: list[tuple[str, tuple[str, ...]]] = []

    class Tray:
        def put(self, name: str, make: Make) -> None:
            out.extend((name, page.texts) for page in make(A4))

    presenter.paper = Tray()
    dialogs.answers = ["paper"]
    press(presenter, "Print or save")
    assert {name for name, _ in out} == {f"Review {batch.name}"}
    read = " ".join(text for _, texts in out for text in texts)
    assert presenter.state().title in read
    assert said(presenter).partition(": ")[2] in read
