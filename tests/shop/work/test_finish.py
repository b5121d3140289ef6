"""Getting through a step: done, Next, all through, out of a wait."""

import pytest

from shopclock.shop.values.entities import Tally
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import MarkedBy
from shopclock.shop.work import acts, adjust, begin, finish, pieces
from shopclock.shop.work.piece_progress import through
from tests.shop.workshop import Shop


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
