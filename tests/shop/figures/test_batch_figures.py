"""The figures of a batch, with the worked example of seven blanks."""

from collections import defaultdict
from dataclasses import replace

import pytest

from shopclock.shop.figures.batch_figures import BatchFigures, Minutes, StageFigures, figures
from shopclock.shop.figures.piece_labour import PieceLabour, piece_labour
from shopclock.shop.values.entities import Interval, Method
from shopclock.shop.values.kinds import Certainty, Outcome, StepState, WorkKind
from shopclock.shop.work import acts, adjust, batches, begin, finish, pieces
from tests.shop.workshop import IN_ROUNDS, MINUTE_US, ROUTE, Shop


def now(shop: Shop) -> BatchFigures:
    return figures(shop.floor, shop.batch.id, shop.clock.now_us)


def rows(shop: Shop) -> tuple[PieceLabour, ...]:
    return piece_labour(shop.floor, shop.batch.id, shop.clock.now_us)


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
    """Bevels 102.2 min on seven; finish grinding 210 min on seven, E is lost, 88.8 min more on six; six finish.

    Both in rounds: one by one, E would have had the 210 under the hands alone.
    """
    shop = Shop(7, IN_ROUNDS)
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


def test_finished_times_minutes_per_finished_is_all_labour_what_they_got_and_what_they_carry(example: Shop) -> None:
    labour: dict[int, int] = defaultdict(int)
    for interval in example.floor.all(Interval):
        labour[interval.stage_id] += example.floor.labour[interval.id]
    labour[0] = sum(labour.values())
    found = now(example)
    for one in (found.whole, *found.stages):
        assert one.of_finished.all_us + sum(one.carried.values()) == labour[one.stage_id]
        assert one.per_finished_min == pytest.approx(labour[one.stage_id] / 6 / 60e6)


def test_while_a_batch_is_open_living_pieces_count_as_finished() -> None:
    shop = Shop(4)
    work(shop, "Saw", 40)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("A"), shop.step("Bevel"), "soft"))
    assert now(shop).so_far
    assert stage(shop, "Saw").finished == 3
    assert stage(shop, "Saw").per_finished_min == pytest.approx(40 / 3)


def test_what_runs_counts_until_now_in_its_own_batch_alone() -> None:
    """The other batch is sawn while this one tempers: nothing of that is this one's, and a wait is nobody's minutes."""
    shop = Shop(2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(10)
    assert stage(shop, "Saw").all_us == 10 * MINUTE_US
    shop.clock.on(5)
    assert stage(shop, "Saw").all_us == 15 * MINUTE_US
    shop.press(begin.stop)
    other = shop.new_batch(1)
    tempers = shop.press(lambda tx: begin.begin(tx, shop.step("Temper")))
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw", other)))
    shop.clock.on(7)
    assert now(shop).whole.all_us == 15 * MINUTE_US
    assert figures(shop.floor, other.id, shop.clock.now_us).whole.all_us == 7 * MINUTE_US
    shop.press(lambda tx: finish.out(tx, shop.now(tempers)))
    assert now(shop).whole.all_us == 15 * MINUTE_US


def test_minutes_for_each_are_not_rounded() -> None:
    shop = Shop(3)
    work(shop, "Saw", 10 / MINUTE_US)
    assert stage(shop, "Saw").per_finished_min == pytest.approx(10 / 3 / 60e6, rel=1e-12)


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
    """B was in hand, but all of the stretch was A's; C was set up for and done again; D was never in hand."""
    shop = Shop(4)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel"), shop.pieces("C"), work=WorkKind.SETUP))
    shop.clock.on(5)
    shop.press(lambda tx: pieces.rework(tx, shop.piece("C"), shop.step("Bevel"), shop.step("Saw")))
    shop.clock.on(5)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel"), shop.pieces("AB")))
    shop.clock.on(us=1)
    shop.press(lambda tx: finish.one_done(tx, shop.runs()))
    shop.press(begin.stop)
    shop.press(lambda tx: finish.all_through(tx, shop.step("Bevel"), shop.pieces("ABCD")))
    assert {row.piece_id: row.us for row in rows(shop) if row.work is WorkKind.RUN} == dict(
        zip(shop.pieces("AB"), (1, 0), strict=True)
    )
    assert stage(shop, "Bevel").passed == 1
    assert stage(shop, "Bevel").of_passed == Minutes(1, 0, 0)


def test_a_stage_is_passed_when_all_its_steps_are() -> None:
    """Two coats: all three got the first, 4 each, A and B the second, 5 each; then B was lost at that."""
    coat = replace(ROUTE.steps[0], stage="Coat")
    coats = tuple(replace(coat, key=name, name=name) for name in ("Coat 1", "Coat 2"))
    shop = Shop(3, replace(ROUTE, steps=coats, rules=()))
    work(shop, "Coat 1", 12)
    assert stage(shop, "Coat").passed == 0
    work(shop, "Coat 2", 10, "AB")
    assert stage(shop, "Coat").passed == 2
    shop.press(lambda tx: pieces.lose(tx, shop.piece("B"), shop.step("Coat 2"), "runs"))
    found = stage(shop, "Coat")
    assert (found.passed, found.of_passed, found.finished) == (1, Minutes(9 * MINUTE_US, 0, 0), 2)
    assert found.of_finished == Minutes(13 * MINUTE_US, 0, 0)
    assert [one.stage_id for one in now(shop).stages] == [shop.stage("Coat").id]


def test_a_step_skipped_after_it_was_worked_keeps_its_row_without_a_passed_piece() -> None:
    shop = Shop(2)
    work(shop, "Saw", 10)
    shop.press(lambda tx: batches.set_state(tx, shop.step("Saw"), StepState.SKIPPED))
    found = stage(shop, "Saw")
    assert (found.passed, found.per_piece_min, found.all_us) == (0, None, 10 * MINUTE_US)
    assert now(shop).stages[-1] == found


def test_set_up_and_rework_stay_apart_from_minutes_per_piece() -> None:
    """A and B passed, B was lost later. Set-up 6 and run 20 were on both, rework 3 on A, 5 on B."""
    shop = Shop(2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel"), work=WorkKind.SETUP))
    shop.clock.on(6)
    shop.press(lambda tx: adjust.now_running(tx, shop.runs()))
    shop.clock.on(20)
    shop.press(lambda tx: acts.go_on(tx, shop.runs()))
    for mark, minutes in (("A", 3), ("B", 5)):
        shop.press(lambda tx, m=mark: pieces.rework(tx, shop.piece(m), shop.step("Bevel"), shop.step("Saw")))
        shop.clock.on(minutes)
        shop.press(begin.stop)
    both = stage(shop, "Bevel")
    assert both.of_passed == both.of_finished == Minutes(20 * MINUTE_US, 6 * MINUTE_US, 8 * MINUTE_US)
    assert (both.per_piece_min, both.setup_per_piece_min, both.rework_per_piece_min) == (10, 3, 4)
    assert both.per_finished_min == 34 / 2
    shop.press(lambda tx: pieces.lose(tx, shop.piece("B"), shop.step("Sharpen"), "chipped"))
    left = stage(shop, "Bevel")
    assert (left.passed, left.of_passed) == (2, both.of_passed)
    assert left.of_finished == Minutes(10 * MINUTE_US, 3 * MINUTE_US, 3 * MINUTE_US)
    assert left.carried == {Outcome.SCRAPPED: 18 * MINUTE_US, Outcome.KEPT: 0, Outcome.CUT_DOWN: 0}
    assert (left.per_piece_min, left.per_finished_min) == (10, 34)


def test_without_a_passed_piece_there_are_no_minutes_per_piece() -> None:
    shop = Shop(2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel"), work=WorkKind.SETUP))
    shop.clock.on(6)
    shop.press(begin.stop)
    found = stage(shop, "Bevel")
    assert (found.passed, found.all_us) == (0, 6 * MINUTE_US)
    assert (found.per_piece_min, found.setup_per_piece_min, found.rework_per_piece_min) == (None, None, None)


def test_the_whole_batch_is_all_its_stages_and_goes_by_the_finished_pieces(example: Shop) -> None:
    """Seven sawn, E lost at bevelling: 6 × 14.6 and 6 × 44.8 are the finished ones', 14.6 and 30 are E's."""
    whole = now(example).whole
    assert (whole.stage_id, whole.passed, whole.finished) == (0, 6, 6)
    run_us = round(6 * (14.6 + 44.8) * MINUTE_US)
    assert whole.of_passed == whole.of_finished == Minutes(run_us, 0, 0)
    assert [one.stage_id for one in now(example).stages] == [s.stage_id for s in example.floor.steps(example.batch.id)]


def test_a_batch_with_a_step_not_timed_says_at_least() -> None:
    shop = Shop(2)
    assert not now(shop).at_least
    shop.press(lambda tx: batches.set_state(tx, shop.step("Saw"), StepState.NOT_TIMED))
    assert now(shop).at_least


def test_seconds_are_finished_and_counted_apart() -> None:
    shop = Shop(3)
    shop.press(lambda tx: pieces.make_second(tx, shop.piece("A")))
    assert (now(shop).finished, now(shop).seconds) == (3, 1)
    shop.press(lambda tx: pieces.make_second(tx, shop.piece("C")))
    shop.press(lambda tx: pieces.lose(tx, shop.piece("C"), None, "cracked"))
    assert (now(shop).started, now(shop).finished, now(shop).seconds) == (3, 2, 1)
    shop.press(lambda tx: batches.close_batch(tx, shop.batch, {shop.piece("B").id: Outcome.SECOND}, ""))
    assert (now(shop).finished, now(shop).seconds, now(shop).so_far) == (2, 2, False)


@pytest.mark.parametrize("outcome", [Outcome.KEPT, Outcome.CUT_DOWN, Outcome.SCRAPPED])
def test_what_did_not_finish_is_carried_each_kind_on_its_line(outcome: Outcome) -> None:
    shop = Shop(2)
    work(shop, "Saw", 20)
    shop.press(lambda tx: pieces.end_piece(tx, shop.piece("A"), outcome))
    assert {end: us for end, us in stage(shop, "Saw").carried.items() if us} == {outcome: 10 * MINUTE_US}


def test_a_row_says_what_its_minutes_were_for() -> None:
    """Saw, two methods: A and B for 10 by the hacksaw, then B alone for 4, done again because of bevelling."""
    shop = Shop(2)
    hacksaw = next(m.id for m in shop.floor.all(Method) if m.name == "hacksaw")
    first = shop.press(lambda tx: begin.begin(tx, shop.step("Saw"), method_id=hacksaw))
    shop.clock.on(10)
    shop.press(begin.stop)
    again = shop.press(lambda tx: pieces.rework(tx, shop.piece("B"), shop.step("Saw"), shop.step("Bevel")))
    shop.clock.on(4)
    saw, bevel, (a, b) = shop.step("Saw"), shop.step("Bevel"), shop.pieces("AB")
    begun, ended, until = first.start_us, again.start_us, shop.clock.now_us
    plain = PieceLabour(
        a, saw.id, saw.stage_id, hacksaw, WorkKind.RUN, None, 5 * MINUTE_US, begun, ended, False, False, 1
    )
    done_again = {
        "work": WorkKind.REWORK, "cause_step_id": bevel.id, "us": 4 * MINUTE_US, "start_us": ended, "end_us": until,
        "method_id": again.method_id,
    }  # fmt: skip
    assert rows(shop) == (plain, plain._replace(piece_id=b), plain._replace(piece_id=b, **done_again))
    shop.press(begin.stop)
    assert rows(shop) == (plain, plain._replace(piece_id=b), plain._replace(piece_id=b, **done_again))


def test_a_row_is_estimated_where_the_worse_end_is() -> None:
    shop = Shop(1)
    work(shop, "Saw", 10)
    sawing = next(shop.floor.all(Interval))
    for start, end in ((Certainty.ESTIMATED, Certainty.PRESSED), (Certainty.AMENDED, Certainty.ESTIMATED)):
        shop.press(lambda tx, s=start, e=end: tx.change(replace(shop.now(sawing), start_sure=s, end_sure=e)))
        assert [row.estimated for row in rows(shop)] == [True]
    pressed = replace(sawing, start_sure=Certainty.AMENDED, end_sure=Certainty.PRESSED)
    shop.press(lambda tx: tx.change(pressed))
    assert [row.estimated for row in rows(shop)] == [False]


def test_hands_were_shared_where_both_ran_at_once_and_the_piece_was_not_marked() -> None:
    """Sawn alone, then bevelled beside the other batch's sawing, A marked and B not."""
    shop = Shop(2)
    work(shop, "Saw", 3)
    other = shop.new_batch(1)
    bevels = shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw", other), together=True))
    shop.clock.on(9)
    shop.press(lambda tx: finish.one_done(tx, shop.now(bevels)))
    shop.press(begin.stop)
    a, b = shop.pieces("AB")
    assert [(row.piece_id, row.hands_shared) for row in rows(shop)] == [(a, False), (b, False), (a, False), (b, True)]


def test_what_has_ended_is_added_up_once_until_the_next_press(monkeypatch: pytest.MonkeyPatch) -> None:
    shop = Shop(2)
    work(shop, "Saw", 10)
    before = rows(shop)
    with monkeypatch.context() as patch:
        patch.setattr(shop.floor, "of_batch", lambda *_: pytest.fail("added up anew"))
        assert rows(shop) == before
    work(shop, "Bevel", 10)
    assert len(rows(shop)) == len(before) + 2
