"""The row of a whole batch: what its finished pieces took over all stages, and what keeps it out of trends."""

from dataclasses import replace

import pytest

from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.figures.made_before import made_before, pieces_before, set_made_before
from shopclock.shop.figures.trend_rows import WHOLE, LeftOut, TrendRow, left_out, rows_of_batch, trend_rows, whole_row
from shopclock.shop.figures.untimed import say
from shopclock.shop.values.entities import Method
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Outcome, StepState
from shopclock.shop.work import batches, begin, finish, pieces
from tests.shop.workshop import IN_ROUNDS, Shop


def work(shop: Shop, step: str, minutes: float) -> None:
    begun = shop.press(lambda tx: begin.begin(tx, shop.step(step)))
    shop.clock.on(minutes)
    shop.press(lambda tx: finish.all_through(tx, shop.step(step), begun.pieces))
    shop.press(begin.stop)


@pytest.fixture
def shop() -> Shop:
    """The worked example: 102.2 min on seven, 210 min on seven, E is lost, 88.8 min on six."""
    made = Shop(7, IN_ROUNDS)
    work(made, "Saw", 102.2)
    made.press(lambda tx: begin.begin(tx, made.step("Bevel")))
    made.clock.on(210)
    made.press(lambda tx: pieces.lose(tx, made.piece("E"), made.step("Bevel"), "too thin"))
    made.clock.on(88.8)
    made.press(begin.stop)
    return made


def close(shop: Shop, **ends: Outcome) -> None:
    outcomes = {shop.piece(mark).id: end for mark, end in ends.items()}
    shop.press(lambda tx: batches.close_batch(tx, shop.batch, outcomes, ""))
    shop.press(lambda tx: say(tx, shop.batch, StepState.SKIPPED))


def row(shop: Shop) -> TrendRow:
    found = whole_row(shop.floor, shop.batch.id, shop.clock.now_us)
    assert found is not None
    return found


def test_minutes_of_a_whole_piece_are_those_of_the_finished_ones_over_all_stages(shop: Shop) -> None:
    close(shop)
    found = row(shop)
    assert found.pieces == 6
    assert found.per_piece_min == pytest.approx(14.6 + 44.8, abs=1e-9)
    told = figures(shop.floor, shop.batch.id, shop.clock.now_us).whole.of_finished
    assert (found.run_us, found.setup_us, found.rework_us) == (told.run_us, told.setup_us, told.rework_us)
    assert (found.stage_id, found.method_id, left_out(found)) == (WHOLE, None, None)


def test_a_batch_with_no_finished_piece_yet_has_no_row(shop: Shop) -> None:
    assert whole_row(shop.floor, shop.batch.id, shop.clock.now_us) is None


def test_a_batch_with_pieces_in_work_is_under_way(shop: Shop) -> None:
    shop.press(lambda tx: pieces.end_piece(tx, shop.piece("A"), Outcome.FINISHED))
    assert (row(shop).pieces, left_out(row(shop))) == (1, LeftOut.UNDER_WAY)


def test_a_batch_of_which_nothing_finished_is_left_out_and_divides_by_nothing(shop: Shop) -> None:
    close(shop, **dict.fromkeys("ABCDFG", Outcome.SCRAPPED))
    assert (row(shop).pieces, row(shop).per_piece_min) == (0, 0.0)
    assert left_out(row(shop)) is LeftOut.NONE_FINISHED


def test_a_step_that_was_not_timed_keeps_the_whole_and_its_own_stage_out_and_no_other(shop: Shop) -> None:
    shop.press(lambda tx: batches.set_state(tx, shop.step("Sharpen"), StepState.NOT_TIMED))
    close(shop)
    assert left_out(row(shop)) is LeftOut.NOT_TIMED
    assert {left_out(one) for one in trend_rows(shop.floor, shop.batch.id, shop.clock.now_us)} == {None}
    assert left_out(replace(row(shop), untimed=False)) is None


def test_rows_of_a_batch_are_its_stages_and_then_the_whole(shop: Shop) -> None:
    close(shop)
    every = rows_of_batch(shop.floor, shop.batch.id, shop.clock.now_us)
    assert every == (*trend_rows(shop.floor, shop.batch.id, shop.clock.now_us), row(shop))


def test_what_was_made_before_is_kept_by_method_and_for_whole_pieces(shop: Shop) -> None:
    stage = shop.stage("Bevel")
    jig = next(m for m in shop.floor.all(Method) if m.name == "jig")
    assert pieces_before(shop.floor, stage, jig) == 0
    shop.press(lambda tx: set_made_before(tx, stage, jig, "40"))
    shop.press(lambda tx: set_made_before(tx, None, None, "25"))
    shop.press(lambda tx: set_made_before(tx, stage, jig, "41"))
    assert made_before(shop.floor) == {(stage.id, jig.id, False): 41, (WHOLE, 0, False): 25}
    assert (pieces_before(shop.floor, stage, jig), pieces_before(shop.floor, stage, None)) == (41, 0)


@pytest.mark.parametrize("typed", ["", "-1", "2.5", "many", "100000", "²"])
def test_made_before_takes_whole_numbers_alone(shop: Shop, typed: str) -> None:
    with pytest.raises(Refusal, match="Nothing was changed"):
        shop.press(lambda tx: set_made_before(tx, None, None, typed))
