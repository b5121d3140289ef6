"""Getting through a step: done, Next, all through, out of a wait."""

import pytest

from shopclock.shop.values.entities import Interval, Note, Tally
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import MarkedBy, WorkKind
from shopclock.shop.work import acts, adjust, amend, begin, finish, pieces
from shopclock.shop.work.piece_progress import through
from tests.shop.sound import too_full
from tests.shop.workshop import MINUTE_US, Shop


def start(shop: Shop, step: str, marks: str | None = None) -> None:
    chosen = shop.pieces(marks) if marks is not None else None
    shop.press(lambda tx: begin.begin(tx, shop.step(step), chosen))


def reached(shop: Shop, step: str) -> str:
    return "".join(shop.floor.marks(through(shop.floor, shop.batch.id)[shop.step(step).id]))


def next_(shop: Shop) -> None:
    shop.press(lambda tx: acts.go_on(tx, shop.runs()))


def test_done_marks_the_first_in_hand_that_is_not_done() -> None:
    shop = Shop(3)
    start(shop, "Bevel", "BC")
    marked = [shop.press(lambda tx: finish.one_done(tx, shop.runs())).mark for _ in range(2)]
    assert marked == ["B", "C"]
    with pytest.raises(Refusal, match=r"Every piece in hand is done already."):
        shop.press(lambda tx: finish.one_done(tx, shop.runs()))
    assert reached(shop, "Bevel") == "BC"


def test_any_piece_in_hand_can_be_done_whatever_its_mark() -> None:
    shop = Shop(3)
    start(shop, "Bevel")
    shop.press(lambda tx: finish.one_done(tx, shop.runs(), shop.piece("C")))
    assert reached(shop, "Bevel") == "C"
    assert shop.press(lambda tx: finish.one_done(tx, shop.runs())).mark == "A"
    with pytest.raises(Refusal, match=r"C is through Bevel already. Nothing was changed."):
        shop.press(lambda tx: finish.one_done(tx, shop.runs(), shop.piece("C")))


def test_after_stop_a_piece_was_done_when_stop_was_pressed() -> None:
    shop = Shop(3)
    start(shop, "Bevel")
    stopped = shop.runs()
    shop.clock.on(30)
    shop.press(begin.stop)
    end_us = shop.clock.now_us
    shop.clock.on(11)
    shop.press(lambda tx: finish.one_done(tx, stopped, shop.piece("B")))
    mark = next(shop.floor.all(Tally))
    assert (mark.at_us, mark.how, mark.interval_id) == (end_us, MarkedBy.DONE, stopped.id)
    assert begin.still_there(shop.floor, shop.now(stopped)) == shop.pieces("AC")
    assert finish.next_done(shop.floor, shop.now(stopped)) == shop.piece("A")


def test_a_piece_that_was_never_in_hand_is_through_without_minutes() -> None:
    shop = Shop(3)
    start(shop, "Bevel", "AB")
    shop.clock.on(8)
    shop.press(lambda tx: finish.one_done(tx, shop.runs(), shop.piece("C")))
    mark = next(shop.floor.all(Tally))
    assert (mark.how, mark.interval_id) == (MarkedBy.ALL, None)
    assert shop.running() == {"Bevel": "AB"}
    shop.clock.on(4)
    shop.press(begin.stop)
    assert shop.floor.shares[1] == ((shop.piece("A").id, 6 * MINUTE_US), (shop.piece("B").id, 6 * MINUTE_US))


def test_not_yet_takes_a_mark_back_as_if_it_had_never_been_made() -> None:
    """B at 8 and A at 14; B's is taken back while A stands: all 14 are A's."""
    shop = Shop(2)
    start(shop, "Bevel")
    for mark, minutes in (("B", 8), ("A", 6)):
        shop.clock.on(minutes)
        shop.press(lambda tx, mark=mark: finish.one_done(tx, shop.runs(), shop.piece(mark)))
    shop.press(lambda tx: finish.not_yet(tx, shop.step("Bevel"), shop.piece("B")))
    assert reached(shop, "Bevel") == "A"
    shop.press(begin.stop)
    assert shop.floor.shares[1] == ((shop.piece("A").id, 14 * MINUTE_US), (shop.piece("B").id, 0))
    with pytest.raises(Refusal, match=r"B is not marked as through Bevel. Nothing was changed."):
        shop.press(lambda tx: finish.not_yet(tx, shop.step("Bevel"), shop.piece("B")))


def test_not_yet_is_taken_though_the_tool_was_filled_since() -> None:
    """A of four was marked through Harden by mistake, and two others went in: the oven for five holds six."""
    shop = Shop(4)
    other = shop.new_batch(2)
    start(shop, "Harden")
    shop.press(lambda tx: finish.one_done(tx, shop.runs(), shop.piece("A")))
    shop.press(lambda tx: begin.begin(tx, shop.step("Harden", other)))
    assert not too_full(shop.floor)
    shop.press(lambda tx: finish.not_yet(tx, shop.step("Harden"), shop.piece("A")))
    assert too_full(shop.floor) == ["oven"]
    shop.undo()
    assert not too_full(shop.floor)


def test_not_yet_goes_on_with_the_set_up_that_the_mark_ended() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    shop.press(lambda tx: adjust.set_up(tx, shop.runs()))
    shop.clock.on(8)
    shop.press(lambda tx: finish.one_done(tx, shop.runs()))
    shop.clock.on(1)
    shop.press(lambda tx: finish.not_yet(tx, shop.step("Bevel"), shop.piece("A")))
    assert shop.runs().work is WorkKind.SETUP


def test_not_yet_takes_the_piece_out_of_the_wait_that_its_mark_began_and_into_hand_again() -> None:
    shop = Shop(3)
    start(shop, "Glue")
    for mark, minutes in (("A", 5), ("B", 7)):
        shop.clock.on(minutes)
        shop.press(lambda tx, mark=mark: finish.one_done(tx, shop.runs("Glue"), shop.piece(mark)))
    assert sorted(shop.floor.marks(i.pieces) for i in shop.floor.running.values()) == [["A"], ["B"], ["C"]]
    shop.press(lambda tx: finish.not_yet(tx, shop.step("Glue"), shop.piece("A")))
    assert shop.running() == {"Glue": "AC", "Cure": "B"}
    shop.clock.on(6)
    shop.press(lambda tx: finish.one_done(tx, shop.runs("Glue"), shop.piece("C")))
    shop.press(begin.stop)
    got = [us // MINUTE_US for number in (1, 2, 4) for _, us in shop.floor.shares.get(number, ())]
    assert (sum(got), reached(shop, "Glue")) == (18, "BC")


def test_not_yet_leaves_the_others_in_the_wait_that_began_with_them() -> None:
    shop = Shop(2)
    start(shop, "Glue")
    shop.clock.on(5)
    next_(shop)
    assert shop.running() == {"Cure": "AB"}
    shop.clock.on(5)
    shop.press(lambda tx: finish.not_yet(tx, shop.step("Glue"), shop.piece("A")))
    assert shop.running() == {"Cure": "B"}
    shop.press(lambda tx: finish.not_yet(tx, shop.step("Glue"), shop.piece("B")))
    assert shop.running() == {}


def test_a_wait_that_not_yet_empties_goes_with_its_notes_and_nothing_goes_on_from_it() -> None:
    """A cures alone, then B with it, whose Cure goes on from A's: with A's mark A's own part goes."""
    shop = Shop(2)
    start(shop, "Glue")
    shop.clock.on(5)
    shop.press(lambda tx: finish.one_done(tx, shop.runs("Glue"), shop.piece("A")))
    shop.clock.on(5)
    alone = shop.runs("Cure")
    shop.press(lambda tx: tx.add(Note(interval_id=alone.id, text="cold", at_us=tx.now_us)))
    shop.press(lambda tx: pieces.cover(tx, alone, shop.pieces("AB")))
    both = shop.runs("Cure")
    assert both.continues_id == alone.id
    shop.clock.on(5)
    shop.press(lambda tx: finish.not_yet(tx, shop.step("Glue"), shop.piece("A")))
    assert (shop.floor.find(Interval, alone.id), list(shop.floor.all(Note))) == (None, [])
    assert (shop.now(both).pieces, shop.now(both).continues_id) == (shop.pieces("B"), None)
    shop.undo()
    assert (shop.now(both), len(list(shop.floor.all(Note)))) == (both, 1)


def test_a_piece_that_has_gone_on_stays_through() -> None:
    shop = Shop(2)
    start(shop, "Saw", "A")
    next_(shop)
    with pytest.raises(Refusal, match=r"A has gone on from Saw already. Nothing was changed."):
        shop.press(lambda tx: finish.not_yet(tx, shop.step("Saw"), shop.piece("A")))
    assert reached(shop, "Saw") == "A"


def test_marks_made_after_stop_move_with_the_time_that_is_taken_off() -> None:
    shop = Shop(3)
    start(shop, "Bevel")
    for minutes in (10, 30):
        shop.clock.on(minutes)
        shop.press((lambda tx: finish.one_done(tx, shop.runs())) if minutes == 10 else begin.stop)
    end_us = shop.clock.now_us
    stopped = shop.floor.get(Interval, 1)
    shop.press(lambda tx: finish.one_done(tx, stopped, shop.piece("C")))
    assert adjust.most_to_take_off(shop.floor, stopped, end_us) == 30 * MINUTE_US
    shop.press(lambda tx: adjust.take_off(tx, 5))
    assert {t.at_us for t in shop.floor.all(Tally)} == {end_us - 30 * MINUTE_US, end_us - 5 * MINUTE_US}
    shop.press(lambda tx: amend.move_end(tx, shop.now(stopped), end_us))
    assert {t.at_us for t in shop.floor.all(Tally)} == {end_us - 30 * MINUTE_US, end_us}


def test_next_takes_the_pieces_in_hand_through_and_starts_the_following_step() -> None:
    shop = Shop(3)
    start(shop, "Saw", "AB")
    next_(shop)
    assert reached(shop, "Saw") == "AB"
    assert shop.running() == {"Bevel": "AB"}
    assert {t.how for t in shop.floor.all(Tally)} == {MarkedBy.NEXT}


def test_next_passes_over_steps_that_the_pieces_are_through() -> None:
    shop = Shop(2)
    shop.press(lambda tx: finish.all_through(tx, shop.step("Bevel"), shop.pieces("AB")))
    start(shop, "Saw", "AB")
    next_(shop)
    assert shop.running() == {"Harden": "AB"}


def test_next_goes_to_the_other_strand_where_the_own_has_to_wait_for_it() -> None:
    shop = Shop(2)
    shop.press(lambda tx: finish.all_through(tx, shop.step("Harden"), shop.pieces("AB")))
    start(shop, "Temper")
    shop.press(lambda tx: finish.out(tx, shop.runs()))
    start(shop, "Scales")
    next_(shop)
    assert shop.running() == {"Glue": "AB"}


def test_next_at_the_end_of_the_route_starts_nothing() -> None:
    shop = Shop(1)
    start(shop, "Scales", "A")
    shop.press(begin.stop)
    start(shop, "Sharpen", "A")
    shop.press(lambda tx: finish.all_through(tx, shop.step("Scales"), shop.pieces("A")))
    next_(shop)
    assert shop.running() == {}


def test_shop_work_has_no_next_step() -> None:
    shop = Shop(1)
    shop.press(lambda tx: begin.begin_shop_work(tx, shop.stage("Post")))
    with pytest.raises(Refusal, match=r"Shop work has no next step."):
        next_(shop)


def test_a_wait_that_begins_by_itself_begins_with_each_done() -> None:
    shop = Shop(2)
    start(shop, "Glue")
    shop.clock.on(5)
    shop.press(lambda tx: finish.one_done(tx, shop.runs()))
    assert shop.running() == {"Glue": "B", "Cure": "A"}
    shop.clock.on(5)
    shop.press(lambda tx: finish.one_done(tx, shop.runs("Glue")))
    cures = list(shop.floor.running.values())
    assert [(shop.floor.marks(i.pieces), i.start_us) for i in cures] == [
        (["A"], shop.clock.now_us - 5 * 60_000_000),
        (["B"], shop.clock.now_us),
    ]


def test_out_ends_a_wait_and_takes_its_pieces_through() -> None:
    shop = Shop(2)
    start(shop, "Temper", "AB")
    shop.clock.on(120)
    shop.press(lambda tx: finish.out(tx, shop.runs()))
    assert shop.running() == {}
    assert reached(shop, "Temper") == "AB"


def test_stop_takes_nobody_through() -> None:
    shop = Shop(2)
    start(shop, "Saw")
    shop.press(begin.stop)
    assert reached(shop, "Saw") == ""


@pytest.mark.parametrize(
    ("how", "who"), [("later step", "A"), ("finished", "AB"), ("scrapped", ""), ("rework", ""), ("set-up", "")]
)
def test_who_is_through(how: str, who: str) -> None:
    """By an interval of a later step and by an end as finished; by no loss, rework or set-up."""
    shop = Shop(2)
    if how == "later step":
        start(shop, "Harden", "A")
    elif how == "finished":
        from shopclock.shop.work.batches import close_batch

        shop.press(lambda tx: close_batch(tx, shop.batch, {}, ""))
    elif how == "scrapped":
        shop.press(lambda tx: pieces.lose(tx, shop.piece("A"), shop.step("Saw"), "soft"))
    elif how == "rework":
        shop.press(lambda tx: pieces.rework(tx, shop.piece("A"), shop.step("Bevel"), shop.step("Saw")))
    else:
        start(shop, "Harden", "A")
        shop.press(lambda tx: adjust.set_up(tx, shop.runs()))
    assert reached(shop, "Saw") == who
