"""The review of one batch: parts that add up, usual as it was before it, quicker and slower, sentences."""

from dataclasses import replace

import pytest

from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.figures.untimed import say
from shopclock.shop.review.review import (
    Pace,
    Review,
    Went,
    days,
    losses,
    pace,
    parts,
    review,
    right_first_time,
    spreads,
)
from shopclock.shop.review.sentences import (
    answer,
    beside_text,
    common,
    counts_text,
    days_text,
    hands_on_text,
    more,
    numbers,
    through_text,
)
from shopclock.shop.values.kinds import Outcome, StepState
from shopclock.shop.work import acts, batches, begin, finish, pieces
from tests.shop.figures.test_batch_figures import work
from tests.shop.figures.test_trend_rows import ROW, rows_of
from tests.shop.workshop import IN_ROUNDS, MINUTE_US, Shop


def reviewed(shop: Shop) -> Review:
    return review(shop.floor, (), shop.batch.id, shop.clock.now_us)


def said(shop: Shop) -> str:
    return answer(shop.floor, reviewed(shop).figures)


def close(shop: Shop) -> None:
    """What was not worked was skipped."""
    shop.press(lambda tx: batches.close_batch(tx, shop.batch, {}, ""))
    shop.press(lambda tx: say(tx, shop.batch, StepState.SKIPPED))


@pytest.fixture
def example() -> Shop:
    """Seven: sawn in 102.2 min, 210 min at the bevels in rounds, then E is lost, 88.8 min more."""
    shop = Shop(7, IN_ROUNDS)
    work(shop, "Saw", 102.2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.clock.on(210)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("E"), shop.step("Bevel"), "too thin"))
    shop.clock.on(88.8)
    shop.press(begin.stop)
    close(shop)
    return shop


def test_the_answer_says_what_was_its_own_and_what_was_lost_with_which(example: Shop) -> None:
    one = example.floor.word("finished")
    assert one is not None
    assert said(example) == f"1 h 07 of work in each {one.one}: 59 min its own, 8 min lost with E."


def test_its_parts_add_up_to_everything_spent(example: Shop) -> None:
    for stage in (*reviewed(example).stages, None):
        told = stage.figures if stage else reviewed(example).figures.whole
        assert sum(parts(told).values()) == told.all_us
    assert parts(reviewed(example).figures.whole)[Went.LOST] == 44.6 * MINUTE_US


def test_only_stages_with_work_in_them_are_shown(example: Shop) -> None:
    assert [s.stage_id for s in reviewed(example).stages] == [example.stage("Saw").id, example.stage("Bevel").id]


@pytest.mark.parametrize(
    ("minutes", "before", "said_pace"),
    [
        (9.9, [10.0, 11, 12, 13, 14, 15, 16, 17], Pace.QUICKER),
        (10.0, [10.0, 11, 12, 13, 14, 15, 16, 17], None),
        (17.1, [10.0, 11, 12, 13, 14, 15, 16, 17], Pace.SLOWER),
        (9.9, [1.0, 10.0, 11, 12, 13, 14, 15, 16, 17], Pace.QUICKER),
        (1.0, [10.0, 11, 12, 13, 14, 15, 16], None),
    ],
)
def test_quicker_and_slower_take_all_of_the_last_eight(minutes: float, before: list[float], said_pace: Pace) -> None:
    own = replace(ROW, batch_id=99, pieces=1, run_us=round(minutes * MINUTE_US), middle_us=99)
    assert pace(rows_of(before), own) == said_pace


def test_eight_batches_of_another_pattern_say_nothing_of_this_one() -> None:
    own = replace(ROW, batch_id=99, pieces=1, run_us=MINUTE_US, middle_us=99)
    assert pace(rows_of([10.0] * 8, pattern=2), own) is None


@pytest.mark.parametrize("change", [{"complete": False}, {"shared_us": 1}, {"mixed": True, "method_id": None}])
def test_a_batch_that_does_not_count_is_neither_quicker_nor_slower(change: dict[str, object]) -> None:
    own = replace(ROW, batch_id=99, pieces=1, run_us=MINUTE_US, middle_us=99, **change)  # type: ignore[arg-type]  # plain values by name
    assert pace(rows_of([10.0] * 8), own) is None


def test_usual_is_of_the_batches_before_it(example: Shop) -> None:
    shop, stage = example, example.stage("Saw").id
    own = replace(ROW, batch_id=shop.batch.id, pattern_id=shop.pattern.id, stage_id=stage, method_id=None, middle_us=50)
    rows = [
        replace(own, batch_id=100 + n, pieces=1, run_us=(n + 1) * MINUTE_US, middle_us=n if n < 5 else 60 + n)
        for n in range(9)
    ]
    found = review(shop.floor, [*rows, own], shop.batch.id, shop.clock.now_us).stages[0].usual
    assert found is not None
    assert (found.n, found.median_min) == (5, 3.0)


def test_an_open_batch_says_so_far() -> None:
    shop = Shop(2)
    work(shop, "Saw", 30)
    finished = shop.floor.word("finished")
    assert finished is not None
    assert said(shop) == f"15 min of work in each {finished.one} so far."
    assert counts_text(shop.floor, reviewed(shop).figures) == "2 started, 2 in work"
    assert days_text(shop.floor, reviewed(shop)) == "1 day since the first cut"


def test_steps_not_timed_say_at_least() -> None:
    shop = Shop(2)
    shop.press(lambda tx: batches.set_state(tx, shop.step("Harden"), StepState.NOT_TIMED))
    work(shop, "Saw", 30)
    assert said(shop).startswith("At least 15 min of work in each ")
    assert more(shop.floor, reviewed(shop)).endswith("Some steps were not timed.")


def test_all_pieces_lost_gives_the_minutes_and_no_quotient() -> None:
    shop = Shop(3)
    work(shop, "Saw", 30)
    for mark in "ABC":
        shop.press(lambda tx, mark=mark: pieces.lose(tx, shop.piece(mark), shop.step("Bevel"), "soft"))
    close(shop)
    assert said(shop).endswith("was finished; 30 min of work: 30 min lost with A–C.")
    assert figures(shop.floor, shop.batch.id, shop.clock.now_us).whole.per_finished_min is None


def test_a_batch_without_minutes_says_so() -> None:
    shop = Shop(2)
    assert said(shop) == "No work is timed in this batch yet."
    close(shop)
    assert said(shop) == "No work was timed in this batch."
    assert reviewed(shop).hands_on_share is None
    assert (hands_on_text(reviewed(shop)), days_text(shop.floor, reviewed(shop))) == ("", "")
    assert days(shop.floor, shop.batch.id, shop.clock.now_us) == ()


def test_two_batches_beside_each_other_differ_by_what_is_shown(example: Shop) -> None:
    one = reviewed(example)
    other = replace(one, figures=replace(one.figures, finished=0))
    assert ": the same." in beside_text(example.floor, one, one)
    assert "No minutes for each" in beside_text(example.floor, one, other)


def test_an_open_batch_is_compared_over_the_stages_that_all_of_both_are_through_alone(example: Shop) -> None:
    """Sawn are all of both: 102.2 min over six there, 30 over three here; at the bevels one of three is through."""
    other = example.new_batch(3)
    saw, bevel = example.step("Saw", other), example.step("Bevel", other)
    begun = example.press(lambda tx: begin.begin(tx, saw))
    example.clock.on(30)
    one = review(example.floor, (), other.id, example.clock.now_us)
    none = f"{other.name} and {example.batch.name} have no stage yet that all of both are through."
    assert beside_text(example.floor, one, reviewed(example)) == none
    example.press(lambda tx: finish.all_through(tx, saw, begun.pieces))
    example.press(begin.stop)
    one = review(example.floor, (), other.id, example.clock.now_us)
    said = f"Saw: 10 min for each blade in {other.name}, 17 min in {example.batch.name}, 7 min less."
    assert beside_text(example.floor, one, reviewed(example)) == said
    begun = example.press(lambda tx: begin.begin(tx, bevel))
    example.clock.on(30)
    example.press(lambda tx: finish.all_through(tx, bevel, begun.pieces[:1]))
    example.press(begin.stop)
    one = review(example.floor, (), other.id, example.clock.now_us)
    assert beside_text(example.floor, one, reviewed(example)) == said, "one of three is through the bevels"
    assert common(one, reviewed(example)) == (example.stage("Saw").id,)


def test_a_stage_that_an_open_batch_is_in_the_middle_of_tells_minutes_of_each_piece_through() -> None:
    """One by one: A took 30, B 20, C is 10 under way: 25 each for the two that are through, over all three 20."""
    shop = Shop(3)
    begun = shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    for mark, minutes in (("A", 30), ("B", 20)):
        shop.clock.on(minutes)
        shop.press(lambda tx, mark=mark: finish.one_done(tx, begun, shop.piece(mark)))
    shop.clock.on(10)
    found = reviewed(shop)
    (bevel,) = found.stages
    assert (numbers(found), through_text(bevel.figures)) == (["25.0"], "2 of 3 through")
    shop.press(lambda tx: finish.one_done(tx, begun, shop.piece("C")))
    assert numbers(reviewed(shop)) == ["20.0"]


def test_a_stage_that_no_piece_is_through_has_no_minutes_of_one() -> None:
    shop = Shop(3, IN_ROUNDS)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(30)
    found = reviewed(shop)
    assert (numbers(found), through_text(found.stages[0].figures)) == (["–"], "0 of 3 through")


def test_hours_by_day_add_up_over_midnight_and_the_change_of_clocks() -> None:
    shop = Shop(2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(60 * 5, us=1)
    shop.press(begin.stop)
    found = days(shop.floor, shop.batch.id, shop.clock.now_us)
    assert [day.day.isoformat() for day in found] == ["2026-10-24", "2026-10-25"]
    assert sum(day.labour_us for day in found) == 300 * MINUTE_US + 1
    assert found[1].ends_us - found[1].begins_us == 25 * 60 * MINUTE_US
    assert found[0].intervals[0].end_us == found[1].intervals[0].start_us == found[1].begins_us


def test_what_still_runs_lasts_until_now() -> None:
    shop = Shop(2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(10)
    (day,) = days(shop.floor, shop.batch.id, shop.clock.now_us)
    assert day.labour_us == 10 * MINUTE_US
    assert day.intervals[0].runs


def test_spread_is_of_the_pieces_marked_one_by_one() -> None:
    shop = Shop(3)
    work(shop, "Saw", 30)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    for minutes in (10, 14):
        shop.clock.on(minutes)
        shop.press(lambda tx: finish.one_done(tx, shop.runs()))
    shop.clock.on(12)
    shop.press(lambda tx: acts.go_on(tx, shop.runs()))
    (spread,) = spreads(shop.floor, shop.batch.id, shop.clock.now_us)
    assert spread.stage_id == shop.stage("Bevel").id
    assert spread.minutes[:2] == (("A", 10.0), ("B", 14.0))


def test_a_loss_has_its_step_its_reason_and_all_its_minutes(example: Shop) -> None:
    (loss,) = losses(example.floor, example.batch.id, example.clock.now_us)
    assert (loss.piece.mark, loss.outcome, loss.reason) == ("E", Outcome.SCRAPPED, "too thin")
    assert loss.step is not None
    assert (loss.step.name, loss.us) == ("Bevel", 44.6 * MINUTE_US)


def test_right_first_time_leaves_out_what_was_worked_anew() -> None:
    shop = Shop(3)
    work(shop, "Saw", 30)
    shop.press(lambda tx: pieces.rework(tx, shop.piece("B"), shop.step("Saw"), shop.step("Saw")))
    shop.clock.on(5)
    shop.press(begin.stop)
    close(shop)
    assert right_first_time(shop.floor, shop.batch.id, shop.clock.now_us) == 2
