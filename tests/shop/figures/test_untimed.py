"""Steps without minutes: which are asked about, what the answers do, and what the batch says until then."""

from dataclasses import replace

import pytest

from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.figures.trend_rows import trend_rows, whole_row
from shopclock.shop.figures.untimed import at_least, say, untimed
from shopclock.shop.values.entities import Step, Tally
from shopclock.shop.values.kinds import MarkedBy, Outcome, StepState
from shopclock.shop.work import batches, begin, finish, pieces
from tests.shop.workshop import Shop

STEPS = ("Saw", "Bevel", "Harden", "Temper", "Scales", "Glue", "Sharpen")


def work(shop: Shop, step: str, minutes: float = 10, marks: str | None = None) -> None:
    begun = shop.press(lambda tx: begin.begin(tx, shop.step(step), None if marks is None else shop.pieces(marks)))
    shop.clock.on(minutes)
    shop.press(lambda tx: finish.all_through(tx, shop.step(step), begun.pieces))
    shop.press(lambda tx: finish.end_if_running(tx, begun))
    for wait in [i for i in shop.floor.running.values() if not i.kind.attended]:
        shop.press(lambda tx, wait=wait: finish.out(tx, wait))


def close(shop: Shop, **ends: Outcome) -> None:
    outcomes = {shop.piece(mark).id: end for mark, end in ends.items()}
    shop.press(lambda tx: batches.close_batch(tx, shop.batch, outcomes, ""))


def all_but(shop: Shop, *left: str) -> None:
    for step in STEPS:
        if step not in left:
            work(shop, step)


def asked(shop: Shop) -> dict[str, str]:
    found = untimed(shop.floor, shop.batch.id, shop.clock.now_us)
    return {one.step.name: "".join(shop.floor.marks(one.pieces)) for one in found}


def least(shop: Shop) -> bool:
    told = figures(shop.floor, shop.batch.id, shop.clock.now_us).at_least
    row = whole_row(shop.floor, shop.batch.id, shop.clock.now_us)
    assert row is None or row.untimed is told is at_least(shop.floor, shop.batch.id, shop.clock.now_us)
    return told


def test_a_batch_with_minutes_at_every_attended_step_is_not_asked_about() -> None:
    shop = Shop(2)
    all_but(shop)
    close(shop)
    assert asked(shop) == {}
    assert not least(shop)


def test_attended_steps_that_nobody_pressed_are_asked_about_and_waits_are_not() -> None:
    """Bevel is by hand, Harden is stayed by, Temper and Cure wait."""
    shop = Shop(2)
    all_but(shop, "Bevel", "Harden", "Temper")
    close(shop)
    assert asked(shop) == {"Bevel": "AB", "Harden": "AB"}
    assert least(shop)


def test_an_open_batch_is_asked_about_nothing_until_it_is_being_closed() -> None:
    shop = Shop(2)
    work(shop, "Bevel")
    assert asked(shop) == {}
    assert not least(shop)
    found = untimed(shop.floor, shop.batch.id, shop.clock.now_us, closing=True)
    assert [one.step.name for one in found] == ["Saw", "Harden", "Scales", "Glue", "Sharpen"]


@pytest.mark.parametrize("state", [StepState.NOT_TIMED, StepState.SKIPPED])
def test_one_answer_stands_for_all_of_them(state: StepState) -> None:
    shop = Shop(2)
    all_but(shop, "Bevel", "Harden")
    close(shop)
    shop.press(lambda tx: say(tx, shop.batch, state))
    assert asked(shop) == {}
    assert {shop.step("Bevel").state, shop.step("Harden").state} == {state}
    assert shop.step("Saw").state is StepState.TIMED
    assert least(shop) is (state is StepState.NOT_TIMED)


@pytest.mark.parametrize(
    ("state", "how"), [(StepState.NOT_TIMED, MarkedBy.BEFORE), (StepState.SKIPPED, MarkedBy.SKIPPED)]
)
def test_of_a_step_that_others_have_minutes_at_the_answer_stands_with_the_piece(
    state: StepState, how: MarkedBy
) -> None:
    """B was sawn and marked at the bevels without being in hand; the others keep their row."""
    shop = Shop(3)
    work(shop, "Saw")
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel"), shop.pieces("AC")))
    shop.clock.on(10)
    shop.press(lambda tx: finish.one_done(tx, shop.runs(), shop.piece("B")))
    shop.press(lambda tx: finish.all_through(tx, shop.step("Bevel"), shop.pieces("AC")))
    shop.press(begin.stop)
    for step in STEPS[2:]:
        work(shop, step)
    close(shop)
    assert asked(shop) == {"Bevel": "B"}
    shop.press(lambda tx: say(tx, shop.batch, state))
    assert shop.step("Bevel").state is StepState.TIMED
    assert [t.how for t in shop.floor.tallies_of(shop.step("Bevel")) if t.piece_id == shop.piece("B").id] == [how]
    assert (asked(shop), least(shop)) == ({}, state is StepState.NOT_TIMED)
    bevel = shop.stage("Bevel").id
    assert [row.pieces for row in trend_rows(shop.floor, shop.batch.id, 0) if row.stage_id == bevel] == [2]


def test_a_piece_that_joined_later_is_asked_about_from_where_it_joined() -> None:
    """C came at the bevels and nobody pressed it at Harden: Saw is no question of its, Harden is."""
    shop = Shop(2)
    work(shop, "Saw")
    shop.press(lambda tx: pieces.add_piece(tx, shop.batch))
    work(shop, "Bevel", marks="ABC")
    work(shop, "Harden", marks="AB")
    for step in STEPS[3:]:
        work(shop, step, marks="ABC")
    close(shop)
    assert asked(shop) == {"Harden": "C"}


def test_pieces_that_did_not_finish_are_not_asked_about() -> None:
    shop = Shop(3)
    all_but(shop, "Sharpen")
    work(shop, "Sharpen", marks="AB")
    close(shop, C=Outcome.KEPT)
    assert asked(shop) == {}


def test_what_was_stayed_by_beside_other_work_was_timed_though_it_has_no_labour() -> None:
    shop = Shop(1)
    other = shop.new_batch(1)
    work(shop, "Saw")
    work(shop, "Bevel")
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw", other)))
    shop.press(lambda tx: begin.begin(tx, shop.step("Harden")))
    shop.clock.on(20)
    shop.press(lambda tx: begin.end(tx, shop.runs("Harden")))
    for step in STEPS[3:]:
        work(shop, step)
    close(shop)
    assert asked(shop) == {}


def test_what_was_closed_under_version_1_is_asked_about_and_stays_as_it_is_until_then() -> None:
    shop = Shop(2)
    all_but(shop, "Bevel")
    close(shop)
    shop.press(lambda tx: tx.change(replace(shop.floor.get(type(shop.batch), shop.batch.id), rules=1)))
    assert asked(shop) == {"Bevel": "AB"}
    assert not least(shop)
    batch = shop.floor.get(type(shop.batch), shop.batch.id)
    shop.press(lambda tx: say(tx, batch, StepState.NOT_TIMED))
    assert (asked(shop), least(shop)) == ({}, True)


def test_pieces_of_a_half_made_batch_make_it_at_least_as_long_as_one_of_them_finishes() -> None:
    shop = Shop(2)
    saw = shop.step("Saw")
    tally = Tally(step_id=saw.id, piece_id=shop.piece("B").id, at_us=0, how=MarkedBy.BEFORE)
    shop.press(lambda tx: tx.add(tally))
    work(shop, "Saw", marks="A")
    assert (asked(shop), least(shop)) == ({}, True)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("B"), shop.step("Bevel"), "cracked"))
    assert not least(shop)


def test_rework_alone_counts_as_timed() -> None:
    shop = Shop(1)
    all_but(shop, "Sharpen")
    again = shop.press(lambda tx: pieces.rework(tx, shop.piece("A"), shop.step("Sharpen"), shop.step("Saw")))
    shop.clock.on(5)
    shop.press(begin.stop)
    close(shop)
    assert (again.step_id, asked(shop)) == (shop.floor.get(Step, again.step_id or 0).id, {})
