"""A batch from its start to its close."""

import pytest

from shopclock.shop.setup import patterns
from shopclock.shop.values.entities import Step, Tally
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import MarkedBy, Outcome, StepState
from shopclock.shop.work import batches, begin
from shopclock.shop.work.batches import Ending, close_with
from shopclock.shop.work.order_rules import running_out
from shopclock.shop.work.piece_progress import ready, through
from tests.shop.workshop import Shop


def states(shop: Shop, steps: tuple[Step, ...]) -> str:
    return " ".join(step.name for step in steps if step.state is StepState.NOT_TIMED)


def test_a_batch_has_its_pieces_by_mark_and_a_copy_of_each_step() -> None:
    shop = Shop(10)
    assert [p.mark for p in shop.floor.pieces(shop.batch.id)] == list("ABCDEFGHJK")
    assert [s.name for s in shop.floor.steps(shop.batch.id)] == [
        "Saw", "Bevel", "Harden", "Temper", "Scales", "Glue", "Cure", "Sharpen",
    ]  # fmt: skip


@pytest.mark.parametrize("n", [0, -1, batches.MOST_PIECES + 1])
def test_a_size_that_makes_no_sense_is_refused(n: int) -> None:
    shop = Shop(1)
    with pytest.raises(Refusal, match=r"A batch has 1 to 60 pieces. No batch was made."):
        shop.new_batch(n)


def test_batches_are_named_by_year_and_number() -> None:
    shop = Shop(1)
    assert [shop.batch.name, shop.new_batch(1).name] == ["26-01", "26-02"]
    shop.clock.on(70 * 24 * 60)
    assert shop.new_batch(1).name == "27-01"


def test_the_year_is_that_of_the_shops_wall() -> None:
    """Half an hour into 2027 in Vienna it is still 2026 in UTC."""
    shop = Shop(1)
    new_year_us = 1_798_758_000_000_000  # 2026-12-31T23:00:00Z
    assert batches.batch_name(shop.floor, new_year_us + 1) == "27-01"
    assert batches.batch_name(shop.floor, new_year_us - 1) == "26-02"


def test_a_batch_already_begun_leaves_the_steps_before_untimed() -> None:
    shop = Shop(1)
    route = patterns.newest_route(shop.floor, shop.pattern)
    glue = next(s for s in patterns.route_steps(shop.floor, route) if s.name == "Glue")
    begun = shop.press(lambda tx: batches.start_batch(tx, shop.pattern, 2, "26-9", glue))
    assert states(shop, shop.floor.steps(begun.id)) == "Saw Bevel Harden Temper Scales"


def test_pieces_of_a_half_made_batch_stand_at_different_steps() -> None:
    """A and B stand at the glue-up, C before hardening, D at the first step of the blade alone has all ahead."""
    shop = Shop(1)
    steps = {s.name: s for s in patterns.route_steps(shop.floor, patterns.newest_route(shop.floor, shop.pattern))}
    places = {2: steps["Harden"], 3: None}
    begun = shop.press(lambda tx: batches.start_batch(tx, shop.pattern, 4, "26-9", steps["Glue"], places))
    assert states(shop, shop.floor.steps(begun.id)) == ""
    reached = through(shop.floor, begun.id)
    there = {s.name: "".join(shop.floor.marks(reached[s.id])) for s in shop.floor.steps(begun.id)}
    assert {name: who for name, who in there.items() if who} == {
        "Saw": "ABC", "Bevel": "ABC", "Harden": "AB", "Temper": "AB", "Scales": "AB",
    }  # fmt: skip
    assert {t.how for t in shop.floor.of_batch(Tally, begun.id)} == {MarkedBy.BEFORE}
    ready_now = {
        r.step.name: "".join(shop.floor.marks(r.pieces)) for r in ready(shop.floor, begun.id, shop.clock.now_us)
    }
    assert ready_now == {"Saw": "D", "Harden": "C", "Scales": "CD", "Glue": "AB"}


def test_steps_before_all_pieces_of_a_half_made_batch_are_not_timed() -> None:
    shop = Shop(1)
    steps = {s.name: s for s in patterns.route_steps(shop.floor, patterns.newest_route(shop.floor, shop.pattern))}
    places = {1: steps["Temper"]}
    begun = shop.press(lambda tx: batches.start_batch(tx, shop.pattern, 2, "26-9", steps["Harden"], places))
    assert states(shop, shop.floor.steps(begun.id)) == "Saw Bevel"
    (mark,) = shop.floor.of_batch(Tally, begun.id)
    assert (shop.floor.get(Step, mark.step_id).name, shop.floor.marks([mark.piece_id])) == ("Harden", ["B"])


def test_what_was_done_before_timing_runs_no_clock_and_breaks_no_rule() -> None:
    """Within 60 min of hardening to the oven, 24 h of cure before sharpening: nobody knows when these began."""
    shop = Shop(1)
    steps = {s.name: s for s in patterns.route_steps(shop.floor, patterns.newest_route(shop.floor, shop.pattern))}
    places = {1: steps["Temper"], 2: steps["Sharpen"]}
    begun = shop.press(lambda tx: batches.start_batch(tx, shop.pattern, 3, "26-9", None, places))
    shop.clock.on(300)
    assert running_out(shop.floor, shop.clock.now_us) == ()
    for step, mark in (("Temper", "B"), ("Sharpen", "C")):
        shop.press(lambda tx, s=step, m=mark: begin.begin(tx, shop.step(s, begun), shop.pieces(m, begun)))
        assert shop.warnings == []
    shop.press(lambda tx: begin.begin(tx, shop.step("Sharpen", begun), shop.pieces("A", begun)))
    assert len(shop.warnings) == 1


def test_a_running_step_cannot_be_skipped() -> None:
    shop = Shop(1)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    with pytest.raises(Refusal, match=r"Saw is running. Stop it first; nothing was changed."):
        shop.press(lambda tx: batches.set_state(tx, shop.step("Saw"), StepState.SKIPPED))


def test_closing_ends_what_runs_and_gives_each_living_piece_its_outcome() -> None:
    shop = Shop(4)
    shop.press(lambda tx: begin.begin(tx, shop.step("Sharpen")))
    shop.clock.on(5)
    endings = {
        shop.piece("B").id: Ending(Outcome.KEPT),
        shop.piece("C").id: Ending(Outcome.SCRAPPED, shop.step("Sharpen"), "too thin"),
    }
    closed = shop.press(lambda tx: close_with(tx, shop.batch, endings, " thinner "))
    assert shop.running() == {}
    assert [p.outcome for p in shop.floor.pieces(shop.batch.id)] == [
        Outcome.FINISHED, Outcome.KEPT, Outcome.SCRAPPED, Outcome.FINISHED,
    ]  # fmt: skip
    assert shop.piece("C").reason == "too thin"
    assert (closed.closed_us, closed.next_time) == (shop.clock.now_us, "thinner")
    assert shop.floor.open_batches() == ()
    assert batches.last_next_time(shop.floor, shop.pattern) == "thinner"


def test_what_is_left_to_do_is_told_before_closing() -> None:
    shop = Shop(2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Sharpen"), shop.pieces("A")))
    left = batches.not_through(shop.floor, shop.batch)
    assert {piece.mark: [s.name for s in steps] for piece, steps in left.items()} == {
        "A": ["Sharpen"],
        "B": [s.name for s in shop.floor.steps(shop.batch.id)],
    }
