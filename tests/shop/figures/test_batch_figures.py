"""The figures of a batch, with the worked example of seven blanks."""

import pytest

from shopclock.shop.figures.batch_figures import BatchFigures, StageFigures, figures
from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.values.kinds import Outcome, StepState, WorkKind
from shopclock.shop.work import adjust, batches, begin, finish, pieces
from tests.shop.workshop import MINUTE_US, Shop


def now(shop: Shop) -> BatchFigures:
    return figures(shop.floor, shop.batch.id, shop.clock.now_us)


def stage(shop: Shop, name: str) -> StageFigures:
    return next(s for s in now(shop).stages if s.stage_id == shop.stage(name).id)


def work(shop: Shop, step: str, minutes: float, marks: str | None = None) -> None:
    """Start, work so long, All through."""
    chosen = shop.pieces(marks) if marks is not None else None
    begun = shop.press(lambda tx: begin.begin(tx, shop.step(step), chosen))
    shop.clock.on(minutes)
    shop.press(lambda tx: finish.all_through(tx, shop.step(step), begun.pieces))
    shop.press(begin.stop)


@pytest.fixture
def example() -> Shop:
    """Bevels 102.2 min on seven; finish grinding 210 min on seven, E is lost, 88.8 min more on six; six finish."""
    shop = Shop(7)
    work(shop, "Saw", 102.2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.clock.on(210)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("E"), shop.step("Bevel"), "too thin"))
    shop.clock.on(88.8)
    shop.press(begin.stop)
    shop.press(lambda tx: batches.close_batch(tx, shop.batch, {}, ""))
    return shop


def test_the_worked_example_minutes_per_piece(example: Shop) -> None:
    assert stage(example, "Saw").passed == 7
    assert stage(example, "Saw").per_piece_min == pytest.approx(14.6, abs=1e-9)
    assert stage(example, "Bevel").passed == 6
    assert stage(example, "Bevel").per_piece_min == pytest.approx(44.8, abs=1e-9)


def test_the_worked_example_what_the_lost_one_took(example: Shop) -> None:
    lost = example.piece("E").id
    took = {
        name: sum(row.us for row in piece_labour(example.floor, example.batch.id, 0)
                  if row.piece_id == lost and row.stage_id == example.stage(name).id)
        for name in ("Saw", "Bevel")
    }  # fmt: skip
    assert took == {"Saw": 14.6 * MINUTE_US, "Bevel": 30 * MINUTE_US}
    assert now(example).whole.carried[Outcome.SCRAPPED] == 44.6 * MINUTE_US


def test_the_worked_example_minutes_per_finished_knife(example: Shop) -> None:
    whole = now(example).whole
    assert (now(example).started, whole.finished) == (7, 6)
    assert whole.per_finished_min == pytest.approx(66.83, abs=0.005)
    assert whole.all_us == round(401.0 * MINUTE_US) == round((102.2 + 210 + 88.8) * MINUTE_US)


def test_finished_times_minutes_per_finished_is_what_they_got_and_what_they_carry(example: Shop) -> None:
    found = now(example)
    for one in (found.whole, *found.stages):
        assert one.all_us == one.of_finished.all_us + sum(one.carried.values())


def test_while_a_batch_is_open_living_pieces_count_as_finished() -> None:
    shop = Shop(4)
    work(shop, "Saw", 40)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("A"), shop.step("Bevel"), "soft"))
    assert now(shop).so_far
    assert stage(shop, "Saw").finished == 3
    assert stage(shop, "Saw").per_finished_min == pytest.approx(40 / 3)


def test_what_runs_counts_until_now() -> None:
    shop = Shop(2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(10)
    assert stage(shop, "Saw").all_us == 10 * MINUTE_US
    shop.clock.on(5)
    assert stage(shop, "Saw").all_us == 15 * MINUTE_US


def test_without_a_finished_piece_there_is_no_quotient() -> None:
    shop = Shop(1)
    work(shop, "Saw", 12)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("A"), shop.step("Bevel"), "soft"))
    assert stage(shop, "Saw").per_finished_min is None
    assert stage(shop, "Saw").all_us == 12 * MINUTE_US


def test_a_piece_scrapped_at_a_step_has_not_passed_it_though_it_was_through() -> None:
    shop = Shop(2)
    work(shop, "Saw", 10)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("B"), shop.step("Saw"), "cracked"))
    assert stage(shop, "Saw").passed == 1


def test_a_piece_through_without_run_labour_has_not_passed() -> None:
    shop = Shop(2)
    work(shop, "Saw", 10, "A")
    shop.press(lambda tx: finish.all_through(tx, shop.step("Saw"), shop.pieces("AB")))
    assert stage(shop, "Saw").passed == 1


def test_set_up_and_rework_stay_apart_from_minutes_per_piece() -> None:
    shop = Shop(2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel"), work=WorkKind.SETUP))
    shop.clock.on(6)
    shop.press(lambda tx: adjust.now_running(tx, shop.runs()))
    shop.clock.on(20)
    shop.press(lambda tx: finish.go_on(tx, shop.runs()))
    shop.press(lambda tx: pieces.rework(tx, shop.piece("A"), shop.step("Bevel"), shop.step("Saw")))
    shop.clock.on(3)
    shop.press(begin.stop)
    found = stage(shop, "Bevel")
    assert found.per_piece_min == pytest.approx(10)
    assert (found.of_passed.setup_us, found.of_passed.rework_us) == (6 * MINUTE_US, 3 * MINUTE_US)
    assert found.per_finished_min == pytest.approx(29 / 2)


def test_a_batch_with_a_step_not_timed_says_at_least() -> None:
    shop = Shop(2)
    assert not now(shop).at_least
    shop.press(lambda tx: batches.set_state(tx, shop.step("Saw"), StepState.NOT_TIMED))
    assert now(shop).at_least


def test_seconds_are_finished_and_counted_apart() -> None:
    shop = Shop(3)
    shop.press(lambda tx: pieces.make_second(tx, shop.piece("A")))
    assert (now(shop).finished, now(shop).seconds) == (3, 1)
    shop.press(lambda tx: batches.close_batch(tx, shop.batch, {shop.piece("B").id: Outcome.SECOND}, ""))
    assert (now(shop).finished, now(shop).seconds) == (3, 2)


@pytest.mark.parametrize("outcome", [Outcome.KEPT, Outcome.CUT_DOWN, Outcome.SCRAPPED])
def test_what_did_not_finish_is_carried_each_kind_on_its_line(outcome: Outcome) -> None:
    shop = Shop(2)
    work(shop, "Saw", 20)
    shop.press(lambda tx: pieces.end_piece(tx, shop.piece("A"), outcome))
    assert {end: us for end, us in stage(shop, "Saw").carried.items() if us} == {outcome: 10 * MINUTE_US}
