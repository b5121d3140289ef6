"""What can happen to a piece."""

import pytest

from shopclock.shop.values.entities import Interval
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Outcome, WorkKind
from shopclock.shop.work import begin, pieces
from tests.shop.workshop import Shop


def start(shop: Shop, step: str, marks: str | None = None) -> Interval:
    chosen = shop.pieces(marks) if marks is not None else None
    return shop.press(lambda tx: begin.begin(tx, shop.step(step), chosen))


@pytest.mark.parametrize(("now", "wanted"), [("AB", "ABC"), ("ABC", "B"), ("A", "BC")])
def test_letters_put_pieces_in_and_out_of_what_runs(now: str, wanted: str) -> None:
    shop = Shop(3)
    first = start(shop, "Saw", now)
    shop.clock.on(5)
    second = shop.press(lambda tx: pieces.cover(tx, shop.runs(), shop.pieces(wanted)))
    assert shop.running() == {"Saw": wanted}
    assert second.continues_id == first.id
    assert shop.now(first).end_us == second.start_us


def test_the_last_letter_cannot_be_taken_out() -> None:
    shop = Shop(3)
    start(shop, "Saw")
    with pytest.raises(Refusal, match=r"One piece has to stay in hand."):
        shop.press(lambda tx: pieces.cover(tx, shop.runs(), ()))


def test_the_same_letters_change_nothing() -> None:
    shop = Shop(3)
    running = start(shop, "Saw")
    shop.clock.on(5)
    assert shop.press(lambda tx: pieces.cover(tx, running, shop.pieces("CBA"))) == running


def test_a_letter_put_in_is_taken_up_again_and_out_of_its_wait() -> None:
    shop = Shop(3)
    shop.press(lambda tx: pieces.set_aside(tx, shop.piece("C")))
    start(shop, "Temper", "B")
    start(shop, "Bevel", "A")
    shop.clock.on(5)
    shop.press(lambda tx: pieces.cover(tx, shop.runs("Bevel"), shop.pieces("ABC")))
    assert shop.running() == {"Bevel": "ABC"}
    assert not shop.piece("C").set_aside


def test_set_aside_is_a_state_and_work_goes_on_without_it() -> None:
    shop = Shop(3)
    start(shop, "Saw")
    shop.clock.on(5)
    shop.press(lambda tx: pieces.set_aside(tx, shop.piece("B")))
    assert shop.running() == {"Saw": "AC"}
    assert shop.piece("B").living
    shop.press(lambda tx: pieces.take_up(tx, shop.piece("B")))
    assert shop.running() == {"Saw": "AC"}


def test_the_last_piece_in_hand_set_aside_ends_the_work() -> None:
    shop = Shop(1)
    start(shop, "Saw")
    shop.clock.on(5)
    shop.press(lambda tx: pieces.set_aside(tx, shop.piece("A")))
    assert shop.running() == {}


def test_a_lost_piece_keeps_its_step_its_reason_and_its_instant() -> None:
    shop = Shop(2)
    start(shop, "Saw")
    shop.clock.on(5)
    lost = shop.press(lambda tx: pieces.lose(tx, shop.piece("B"), shop.step("Saw"), "cracked"))
    assert (lost.outcome, lost.lost_step_id, lost.reason) == (Outcome.SCRAPPED, shop.step("Saw").id, "cracked")
    assert lost.ended_us == shop.clock.now_us
    assert shop.running() == {"Saw": "A"}
    with pytest.raises(Refusal, match=r"B has ended already. Nothing was changed."):
        shop.press(lambda tx: pieces.lose(tx, shop.piece("B"), shop.step("Saw"), "cracked"))


def test_a_piece_cut_down_goes_on_as_a_new_one_without_its_minutes() -> None:
    shop = Shop(2)
    small = shop.new_batch(1)
    start(shop, "Saw")
    shop.clock.on(10)
    new = shop.press(lambda tx: pieces.cut_down(tx, shop.piece("A"), small))
    assert shop.piece("A").outcome is Outcome.CUT_DOWN
    assert shop.floor.pieces(small.id)[-1] == new
    assert (new.mark, new.from_piece_id) == ("B", shop.piece("A").id)
    assert all(piece != new.id for share in shop.floor.shares.values() for piece, _ in share)


def test_an_added_blank_gets_the_next_mark_that_was_never_given() -> None:
    shop = Shop(3)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("C"), shop.step("Saw"), "soft"))
    assert shop.press(lambda tx: pieces.add_piece(tx, shop.batch)).mark == "D"


def test_rework_is_put_down_to_the_step_that_caused_it() -> None:
    shop = Shop(2)
    shop.press(lambda tx: pieces.set_aside(tx, shop.piece("A")))
    again = shop.press(lambda tx: pieces.rework(tx, shop.piece("A"), shop.step("Bevel"), shop.step("Harden")))
    assert (again.work, again.cause_step_id, shop.floor.marks(again.pieces)) == (
        WorkKind.REWORK, shop.step("Harden").id, ["A"],
    )  # fmt: skip
    assert not shop.piece("A").set_aside


def test_possible_causes_are_the_steps_done_newest_first() -> None:
    shop = Shop(2)
    start(shop, "Harden", "A")
    causes = pieces.possible_causes(shop.floor, shop.batch.id, shop.piece("A"))
    assert [step.name for step in causes] == ["Harden", "Bevel", "Saw"]
    assert pieces.possible_causes(shop.floor, shop.batch.id, shop.piece("B")) == ()


def test_a_second_goes_on_and_ends_as_one() -> None:
    from shopclock.shop.work.batches import close_batch

    shop = Shop(2)
    shop.press(lambda tx: pieces.make_second(tx, shop.piece("A")))
    assert shop.piece("A").living
    shop.press(lambda tx: close_batch(tx, shop.batch, {}, ""))
    assert [p.outcome for p in shop.floor.pieces(shop.batch.id)] == [Outcome.SECOND, Outcome.FINISHED]
