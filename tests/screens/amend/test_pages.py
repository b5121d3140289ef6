"""What Amend shows and does, without a window."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.shop.values.entities import Interval
from shopclock.shop.work import begin, finish
from tests.screens.batches.reading import press, said, tile, titles

if TYPE_CHECKING:
    from shopclock.screens.batches.presenter import BatchesPresenter
    from tests.fake_dialogs import FakeDialogs
    from tests.screens.amend.evening import Evening

MINUTE_US = 60_000_000


def at(shop: Evening, number: int) -> Interval:
    return shop.floor.get(Interval, number)


def open_stretch(presenter: BatchesPresenter, number: int) -> None:
    presenter.press(f"stretch {number}")


def test_a_day_lists_what_was_done_with_times_pieces_and_what_was_guessed(presenter: BatchesPresenter) -> None:
    state = presenter.state()
    assert state.title == "Tue 22 Sep, today"
    assert [(t.title, t.figure, t.note) for t in state.tiles] == [
        ("19:59 – 20:46   Saw out, 26-01", "47 min", ""),
        ("20:46 – 21:11   Profile, 26-01", "25 min", ""),
        ("21:29 – 22:24   Profile, 26-02", "55 min", "guessed"),
        ("22:04 – now   Temper 1, 26-01", "20 min", ""),
    ]
    assert state.tiles[0].detail == "A–G · bandsaw · by hand"
    assert said(presenter) == "2 h 07 at work. Press what is to be put right."


def test_the_line_has_lanes_for_hands_and_waits_and_says_the_gap(presenter: BatchesPresenter) -> None:
    day = presenter.state().day
    assert day is not None
    assert day.lanes == ("by hand", "waits")
    assert [text for _, text in day.ticks] == ["19:00", "20:00", "21:00", "22:00", "23:00"]
    drawn = [(bar.text, bar.lane, bar.role, bar.guessed) for bar in day.bars]
    assert drawn == [
        ("Saw out", 0, "dye", False),
        ("Profile", 0, "dye", False),
        ("Profile", 0, "dye", True),
        ("Temper 1", 1, "raised", False),
        ("18 min", 0, "gap", False),
    ]
    saw = day.bars[0]
    assert (saw.right - saw.left) * 4 * 60 == pytest.approx(47)


def test_days_without_work_are_passed_over(shop: Evening, presenter: BatchesPresenter) -> None:
    assert not tile(presenter, "Day after").enabled
    press(presenter, "Day before")
    assert presenter.state().title == "Mon 21 Sep"
    assert titles(presenter) == ["15:13 – 16:03   Saw out, 26-02"]
    assert not tile(presenter, "Day before").enabled
    press(presenter, "Day after")
    assert presenter.state().title == "Tue 22 Sep, today"


def test_five_minutes_are_one_press_and_one_undo(shop: Evening, presenter: BatchesPresenter) -> None:
    was = at(shop, 2)
    open_stretch(presenter, 2)
    presenter.press("start less")
    assert at(shop, 2).start_us == was.start_us - 5 * MINUTE_US
    assert presenter.state().title.startswith("19:54 – 20:46")
    assert presenter.undo_names == "Saw out from 19:54"
    assert said(presenter) == "52 min. The start is amended."
    presenter.press_undo()
    assert at(shop, 2) == was


@pytest.mark.parametrize("typed", ["19.30", "1930", "19:30"])
def test_a_start_can_be_typed(shop: Evening, presenter: BatchesPresenter, dialogs: FakeDialogs, typed: str) -> None:
    dialogs.answers = [typed]
    open_stretch(presenter, 2)
    presenter.press("start")
    assert dialogs.asked[-1].start == "19:59"
    assert presenter.state().title.startswith("19:30 – 20:46")


def test_what_is_no_time_is_told_and_changes_nothing(
    shop: Evening, presenter: BatchesPresenter, dialogs: FakeDialogs
) -> None:
    was = at(shop, 2)
    dialogs.answers = ["77"]
    open_stretch(presenter, 2)
    presenter.press("end")
    assert dialogs.asked[-1].words == "That is no time of day. Type it as 19:10. Nothing was changed."
    assert at(shop, 2) == was


def test_other_work_in_the_way_moves_along_if_the_maker_says_so(
    shop: Evening, presenter: BatchesPresenter, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["leave", "way"]
    open_stretch(presenter, 3)
    presenter.press("start less")
    assert dialogs.asked[-1].words == "Saw out ran from 19:59 to 20:46. Is that moved as well?"
    assert at(shop, 3).start_us == at(shop, 2).end_us
    presenter.press("start less")
    assert presenter.state().title.startswith("20:41 – 21:11")
    assert at(shop, 2).end_us == at(shop, 3).start_us
    presenter.press_undo()
    assert presenter.state().title.startswith("20:46 – 21:11")
    assert check(shop.record.path) == []


def test_a_refusal_is_told_in_a_sentence(shop: Evening, presenter: BatchesPresenter, dialogs: FakeDialogs) -> None:
    open_stretch(presenter, 4)
    presenter.press("end more")
    assert dialogs.asked[-1].words == "That is later than now. Nothing was changed."


@pytest.mark.parametrize(
    ("key", "answers", "shown"),
    [
        ("step", ["Drill holes"], "Drill holes"),
        ("batch", ["26-02"], "26-02"),
        ("method", ["No method"], "no method"),
        ("kind", ["Stay by it"], "stay by it"),
        ("kind", ["Both at once"], "by hand, both at once"),
        ("work", ["Set-up"], "set-up"),
        ("work", ["Done again", "Saw out"], "done again"),
    ],
)
def test_what_it_was_is_chosen_from_large_answers(
    shop: Evening, presenter: BatchesPresenter, dialogs: FakeDialogs, key: str, answers: list[str], shown: str
) -> None:
    open_stretch(presenter, 3)
    for answer in answers:
        dialogs.answers.append(_key_of(shop, presenter, key, answer))
    presenter.press(key)
    assert tile(presenter, shown).key == key
    presenter.press_undo()
    assert shown not in titles(presenter)
    assert check(shop.record.path) == []


def _key_of(shop: Evening, presenter: BatchesPresenter, key: str, label: str) -> str:
    """The key of an answer: a step's or a batch's number, or the word itself."""
    steps = {step.name: str(step.id) for step in shop.floor.steps(shop.first.id)}
    plain = {
        "26-02": str(shop.second.id),
        "No method": "none",
        "Stay by it": "watch",
        "Both at once": "together",
        "Set-up": "set-up",
        "Done again": "rework",
    }
    return plain.get(label) or steps[label]


def test_letters_go_in_and_out_one_press_each(shop: Evening, presenter: BatchesPresenter) -> None:
    open_stretch(presenter, 3)
    presenter.press("pieces")
    press(presenter, "C")
    assert not tile(presenter, "C").checked
    assert presenter.undo_names == "Profile: C out"
    assert said(presenter) == "6 blades in it."
    press(presenter, "C")
    assert tile(presenter, "C").checked


def test_a_split_can_be_joined_again(shop: Evening, presenter: BatchesPresenter, dialogs: FakeDialogs) -> None:
    dialogs.answers = ["21.00"]
    open_stretch(presenter, 3)
    assert not tile(presenter, "Join next").enabled
    press(presenter, "Split at")
    assert presenter.state().title.startswith("20:46 – 21:00")
    press(presenter, "Join next")
    assert presenter.state().title.startswith("20:46 – 21:11")
    assert presenter.undo_names == "Joined Profile"


def test_taken_away_leads_back_to_the_day(shop: Evening, presenter: BatchesPresenter) -> None:
    open_stretch(presenter, 3)
    press(presenter, "Take away")
    assert presenter.state().title == "Tue 22 Sep, today"
    assert len(titles(presenter)) == 3
    presenter.press_undo()
    assert len(titles(presenter)) == 4


def test_work_nobody_timed_is_added_by_four_answers(
    shop: Evening, presenter: BatchesPresenter, dialogs: FakeDialogs
) -> None:
    step = shop.attended(shop.first)[2]
    dialogs.answers = [str(shop.first.id), str(step.id), "17.00", "17.45"]
    press(presenter, "Add")
    assert presenter.state().title == f"17:00 – 17:45   {step.name}, 26-01"
    presenter.back()
    assert tile(presenter, f"17:00 – 17:45   {step.name}, 26-01").note == "amended"


def test_shop_work_can_be_added_too(shop: Evening, presenter: BatchesPresenter, dialogs: FakeDialogs) -> None:
    stage = next(s for s in shop.floor.all(_stage()) if s.shop_work)
    dialogs.answers = ["shop", str(stage.id), "17.00", "17.20"]
    press(presenter, "Add")
    assert presenter.state().title == f"17:00 – 17:20   {stage.name}"
    assert "pieces" not in [t.key for t in presenter.state().tiles]


def _stage() -> type:
    from shopclock.shop.values.entities import Stage

    return Stage


def test_a_reason_goes_with_the_change_into_the_history(
    shop: Evening, presenter: BatchesPresenter, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["the phone rang"]
    open_stretch(presenter, 3)
    press(presenter, "Reason")
    presenter.press("end less")
    presenter.back()
    press(presenter, "History")
    newest = presenter.state().tiles[0]
    assert (newest.title, newest.note) == ("22:24   Profile till 21:06", "the phone rang")
    assert newest.detail == "Profile, 26-01, A–G: end 21:11 → 21:06"
    presenter.press(newest.key)
    assert said(presenter) == "Reason: the phone rang Profile, 26-01, A–G: end 21:11 → 21:06"


def test_a_reason_can_be_left_out_again(shop: Evening, presenter: BatchesPresenter, dialogs: FakeDialogs) -> None:
    dialogs.answers = ["the phone rang"]
    open_stretch(presenter, 3)
    press(presenter, "Reason")
    assert "Reason: the phone rang" in said(presenter)
    press(presenter, "No reason")
    assert "Reason" not in said(presenter)


def test_the_history_of_a_day_leads_to_that_of_its_batch(shop: Evening, presenter: BatchesPresenter) -> None:
    press(presenter, "History")
    assert presenter.state().title == "What was changed of Tue 22 Sep"
    assert titles(presenter)[-1] == "19:59   Start"
    press(presenter, "All of 26-01")
    assert presenter.state().title == "What was changed of 26-01"
    assert titles(presenter)[-1] == "yesterday 15:13   New"


def test_a_press_taken_back_stays_in_the_history_and_says_so(shop: Evening, presenter: BatchesPresenter) -> None:
    open_stretch(presenter, 2)
    presenter.press("start less")
    presenter.press_undo()
    presenter.back()
    press(presenter, "History")
    first, second, *_ = presenter.state().tiles
    assert (first.title, second.title) == ("22:24   Undo Saw out from 19:54", "22:24   Saw out from 19:54")
    assert (first.aside, second.aside) == ("", "taken back")


def test_the_day_of_a_closed_batch_can_be_amended_and_its_figures_follow(
    shop: Evening, presenter: BatchesPresenter
) -> None:
    presenter.home()
    shop.close(shop.first)
    before = set(shop.record.reads.stage_rows(shop.clock.us))
    presenter.press(f"batch {shop.first.id}")
    press(presenter, "Amend times")
    open_stretch(presenter, 2)
    presenter.press("start less")
    assert set(shop.record.reads.stage_rows(shop.clock.us)) != before
    assert check(shop.record.path) == []


def bevelled(shop: Evening, presenter: BatchesPresenter) -> int:
    """Three pieces were done at the bevels, 10 min each; returns the number of the stretch, its page open."""
    step = next(s for s in shop.attended(shop.second) if s.one_by_one and s.position > 1)
    shop.start(step)
    interval = next(i for i in shop.floor.running.values() if i.step_id == step.id)
    for _ in range(3):
        shop.clock.go(10)
        shop.record.press("Done", lambda tx: finish.one_done(tx, interval))
    shop.clock.go(10)
    shop.record.press("Stop", begin.stop)
    presenter.home()
    presenter.press(f"batch {shop.second.id}")
    presenter.press("amend")
    presenter.press(f"stretch {interval.id}")
    return interval.id


def test_when_a_piece_was_done_is_moved_by_buttons_and_its_minutes_follow(
    shop: Evening, presenter: BatchesPresenter, dialogs: FakeDialogs
) -> None:
    number = bevelled(shop, presenter)
    press(presenter, "Done: A–C")
    tallies = shop.floor.hands.done_in(at(shop, number))
    was = tallies[0].at_us
    presenter.press(f"mark {tallies[0].id} less")
    presenter.press(f"mark {tallies[0].id} less")
    assert shop.floor.hands.done_in(at(shop, number))[0].at_us == was - 2 * MINUTE_US
    minutes = [us // MINUTE_US for _, us in sorted(shop.floor.shares[number])[:3]]
    assert minutes == [8, 12, 10]
    assert presenter.undo_names.startswith("A done ")
    presenter.press_undo()
    presenter.press_undo()
    assert shop.floor.hands.done_in(at(shop, number))[0].at_us == was
    assert check(shop.record.path) == []


def test_a_piece_is_not_done_before_or_after_the_work(
    shop: Evening, presenter: BatchesPresenter, dialogs: FakeDialogs
) -> None:
    number = bevelled(shop, presenter)
    press(presenter, "Done: A–C")
    (first, *_) = shop.floor.hands.done_in(at(shop, number))
    dialogs.answers = ["9.00"]
    presenter.press(f"mark {first.id}")
    assert (
        dialogs.asked[-1].words
        == "A piece is done while it is worked on, neither before nor after. Nothing was changed."
    )
    assert shop.floor.hands.done_in(at(shop, number))[0] == first


def test_a_stretch_without_marks_offers_none(presenter: BatchesPresenter) -> None:
    open_stretch(presenter, 2)
    assert not any(title.startswith("Done") for title in titles(presenter))
