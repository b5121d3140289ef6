"""Rows for trends of two makers: each of its own pieces, and one of all together."""

from shopclock.shop.figures.trend_rows import all_makers, of_maker, trend_rows, usual
from shopclock.shop.review.sentences import makers_text
from shopclock.shop.work import begin, finish
from tests.shop.work.test_makers import Two


def bevelled() -> Two:
    """Ann bevels A in 10 and B in 4 min, Sam C in 20 and D in 4 beside her."""
    shop = Two()
    ann, sam = shop.start(shop.ann, "Bevel", "AB"), shop.start(shop.sam, "Bevel", "CD")
    assert ann is not None
    assert sam is not None
    shop.clock.on(10)
    shop.by(shop.ann, lambda tx: finish.one_done(tx, ann))
    shop.clock.on(4)
    shop.by(shop.ann, lambda tx: finish.one_done(tx, ann))
    shop.by(shop.ann, begin.stop)
    shop.clock.on(6)
    shop.by(shop.sam, lambda tx: finish.one_done(tx, sam))
    shop.clock.on(4)
    shop.by(shop.sam, lambda tx: finish.one_done(tx, sam))
    shop.by(shop.sam, begin.stop)
    return shop


def test_each_maker_has_a_row_of_the_pieces_that_were_under_those_hands() -> None:
    shop = bevelled()
    rows = trend_rows(shop.floor, shop.batch.id, shop.clock.now_us)
    found = {row.maker_id: (row.pieces, row.per_piece_min, row.complete) for row in rows}
    assert found == {shop.ann.id: (2, 7.0, True), shop.sam.id: (2, 12.0, True)}


def test_all_together_are_one_row_again_with_the_same_sums() -> None:
    shop = bevelled()
    rows = trend_rows(shop.floor, shop.batch.id, shop.clock.now_us)
    (one,) = all_makers(rows)
    assert (one.pieces, one.run_us, one.marked) == (4, sum(row.run_us for row in rows), 4)
    assert one.maker_id is None
    assert min(row.middle_us for row in rows) <= one.middle_us <= max(row.middle_us for row in rows)


def test_what_is_usual_is_a_makers_own() -> None:
    shop = bevelled()
    shop.clock.on(60)
    other = shop.new_batch(4)
    begun = shop.by(shop.sam, lambda tx: begin.begin(tx, shop.step("Bevel", other)))
    shop.clock.on(80)
    for _ in range(4):
        shop.by(shop.sam, lambda tx: finish.one_done(tx, begun))
    shop.by(shop.sam, begin.stop)
    batches = (shop.batch.id, other.id)
    rows = [row for batch_id in batches for row in trend_rows(shop.floor, batch_id, shop.clock.now_us)]
    bevel = shop.stage("Bevel").id
    method = rows[0].method_id
    last = {who: usual(of_maker(rows, who), bevel, method, None) for who in (shop.ann.id, shop.sam.id, None)}
    assert {who: (found.n, found.last_min) for who, found in last.items() if found} == {
        shop.ann.id: (1, 7.0),
        shop.sam.id: (2, 20.0),
        None: (2, 20.0),
    }


def test_a_piece_that_both_worked_is_neither_makers() -> None:
    shop = Two(1)
    shop.start(shop.ann, "Bevel")
    shop.clock.on(10)
    shop.start(shop.sam, "Bevel", "A")
    shop.clock.on(10)
    shop.by(shop.sam, lambda tx: finish.one_done(tx, shop.runs("Bevel")))
    shop.by(shop.sam, begin.stop)
    (row,) = trend_rows(shop.floor, shop.batch.id, shop.clock.now_us)
    assert (row.maker_id, row.pieces, row.per_piece_min) == (None, 1, 20.0)


def test_review_says_how_much_of_the_work_is_whose_and_nothing_for_one_alone() -> None:
    shop = bevelled()
    assert makers_text(shop.floor, shop.batch.id, shop.clock.now_us) == "Ann 14 min, Sam 24 min."
    alone = Two()
    alone.start(alone.ann, "Bevel")
    alone.clock.on(10)
    assert makers_text(alone.floor, alone.batch.id, alone.clock.now_us) == ""
