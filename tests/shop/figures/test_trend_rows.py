"""Rows of batch, stage and method, and what is usual: quartiles against numpy's linear ones."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.figures.trend_rows import TrendRow, counts, trend_rows, usual
from shopclock.shop.values.entities import Method
from shopclock.shop.work import acts, adjust, batches, begin, finish
from tests.shop.workshop import MINUTE_US, Shop

ROW = TrendRow(
    batch_id=1, pattern_id=1, stage_id=1, method_id=1, mixed=False, complete=True, pieces=6, run_us=60 * MINUTE_US,
    setup_us=0, rework_us=0, estimated_us=0, shared_us=0, first_us=0, middle_us=0,
)  # fmt: skip


def rows_of(minutes: list[float], pattern: int = 1, after: int = 0) -> list[TrendRow]:
    """A row for each batch, one after the other."""
    return [
        replace(ROW, batch_id=after + n, pattern_id=pattern, pieces=1, run_us=round(m * MINUTE_US), middle_us=after + n)
        for n, m in enumerate(minutes)
    ]


@given(st.lists(st.floats(0.1, 500), min_size=4, max_size=20))
def test_usual_is_the_median_and_middle_half_of_the_last_eight(minutes: list[float]) -> None:
    found = usual(rows_of(minutes), 1, 1, 1)
    assert found is not None
    last = [round(m * MINUTE_US) / 1 / 60e6 for m in minutes][-8:]
    assert found.n == len(last)
    wanted = np.quantile(last, [0.25, 0.5, 0.75], method="linear")
    assert [found.low_min, found.median_min, found.high_min] == pytest.approx(list(wanted), rel=1e-12)


@pytest.mark.parametrize("presses_done", [True, False])
def test_a_row_counts_the_pieces_that_were_marked_done(presses_done: bool) -> None:
    shop = Shop(3)
    bevels = shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    for _ in range(2 if presses_done else 0):
        shop.clock.on(10)
        shop.press(lambda tx: finish.one_done(tx, bevels))
    shop.clock.on(10)
    shop.press(lambda tx: acts.go_on(tx, bevels))
    (row,) = (r for r in trend_rows(shop.floor, shop.batch.id, shop.clock.now_us) if r.stage_id == bevels.stage_id)
    assert row.marked == (2 if presses_done else 0)


@pytest.mark.parametrize(("marked", "wanted"), [((0, 0, 0, 0), False), ((0, 3, 0, 0), True)])
def test_usual_knows_whether_pieces_are_marked_there(marked: tuple[int, ...], wanted: bool) -> None:
    rows = [replace(row, marked=n) for row, n in zip(rows_of([14.0] * 4), marked, strict=True)]
    found = usual(rows, 1, 1, 1)
    assert found is not None
    assert found.marked is wanted


@pytest.mark.parametrize("n", [1, 2, 3])
def test_under_four_batches_there_is_only_the_last(n: int) -> None:
    found = usual(rows_of([11.0, 12.0, 14.6][:n]), 1, 1, 1)
    assert found is not None
    assert (found.n, found.last_min, found.median_min) == (n, [11.0, 12.0, 14.6][n - 1], None)


def test_without_any_batch_nothing_is_usual() -> None:
    assert usual([], 1, 1, 1) is None
    assert usual(rows_of([1, 2, 3, 4]), 2, 1, 1) is None
    assert usual(rows_of([1, 2, 3, 4]), 1, None, 1) is None


@pytest.mark.parametrize(("own", "of_own"), [(4, True), (3, False)])
def test_the_same_pattern_counts_where_it_has_four_else_all(own: int, of_own: bool) -> None:
    rows = rows_of([10.0] * 5, pattern=2) + rows_of([20.0] * own, pattern=1, after=10)
    found = usual(rows, 1, 1, 1)
    assert found is not None
    assert found.n == (own if of_own else 8)


@pytest.mark.parametrize(
    ("change", "counted"),
    [
        ({}, True),
        ({"complete": False}, False),
        ({"mixed": True, "method_id": None}, False),
        ({"shared_us": 1}, False),
        ({"estimated_us": 12 * MINUTE_US}, True),
        ({"estimated_us": 12 * MINUTE_US + 1}, False),
    ],
)
def test_which_rows_count(change: dict[str, object], counted: bool) -> None:
    assert counts(replace(ROW, **change)) is counted


def use(shop: Shop, name: str) -> None:
    method = next(m for m in shop.floor.all(Method) if m.name == name)
    shop.press(lambda tx: adjust.use_method(tx, shop.runs(), method))


def bevel(shop: Shop, marks: str, minutes: dict[str, float]) -> None:
    """Bevel these pieces, so long by each method, and go on."""
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel"), shop.pieces(marks)))
    for name, length in minutes.items():
        use(shop, name)
        shop.clock.on(length)
    shop.press(lambda tx: acts.go_on(tx, shop.runs()))
    shop.press(begin.stop)


def bevel_rows(shop: Shop) -> dict[str | None, tuple[int, int, bool]]:
    names = {m.id: m.name for m in shop.floor.all(Method)} | {None: None}
    rows = trend_rows(shop.floor, shop.batch.id, shop.clock.now_us)
    return {
        "mixed" if r.mixed else names[r.method_id]: (r.pieces, r.run_us // MINUTE_US, r.complete)
        for r in rows
        if r.stage_id == shop.stage("Bevel").id
    }


def test_methods_stay_apart_and_pieces_of_several_are_mixed() -> None:
    shop = Shop(4)
    bevel(shop, "AB", {"jig": 20})
    assert bevel_rows(shop) == {"jig": (2, 20, False)}
    bevel(shop, "C", {"freehand": 16})
    bevel(shop, "D", {"freehand": 10, "jig": 10})
    assert bevel_rows(shop) == {"jig": (2, 20, True), "freehand": (1, 16, True), "mixed": (1, 20, True)}


@pytest.mark.parametrize(("jig", "name"), [(90, "jig"), (89, "mixed")])
def test_nine_tenths_by_one_method_count_as_it(jig: float, name: str) -> None:
    shop = Shop(1)
    bevel(shop, "A", {"freehand": 100 - jig, "jig": jig})
    assert list(bevel_rows(shop)) == [name]


def test_a_row_of_a_closed_batch_is_complete_by_those_who_finished() -> None:
    shop = Shop(2)
    bevel(shop, "A", {"jig": 10})
    assert bevel_rows(shop) == {"jig": (1, 10, False)}
    shop.press(lambda tx: batches.close_batch(tx, shop.batch, {}, ""))
    assert bevel_rows(shop) == {"jig": (1, 10, True)}


def test_work_at_the_same_time_stays_out_unless_the_piece_was_marked_done() -> None:
    shop = Shop(2)
    small = shop.new_batch(1)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw", small), together=True))
    shop.clock.on(20)
    shop.press(lambda tx: finish.one_done(tx, shop.runs("Bevel")))
    shop.clock.on(10)
    shop.press(lambda tx: acts.go_on(tx, shop.runs("Bevel")))
    rows = trend_rows(shop.floor, shop.batch.id, shop.clock.now_us)
    (row,) = (r for r in rows if r.stage_id == shop.stage("Bevel").id)
    assert 0 < row.shared_us < row.run_us


def test_pieces_marked_done_after_work_at_the_same_time_was_split_stay_in_the_row() -> None:
    """C is taken out of the hands, which splits the stretch; A was in them since before and is marked later."""
    shop = Shop(3)
    small = shop.new_batch(1)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw", small), together=True))
    shop.clock.on(20)
    shop.press(lambda tx: begin.let_go(tx, shop.pieces("C")))
    shop.clock.on(10)
    shop.press(lambda tx: finish.one_done(tx, shop.runs("Bevel")))
    shop.clock.on(10)
    shop.press(lambda tx: finish.one_done(tx, shop.runs("Bevel")))
    (row,) = (
        r for r in trend_rows(shop.floor, shop.batch.id, shop.clock.now_us) if r.stage_id == shop.stage("Bevel").id
    )
    assert (row.pieces, row.shared_us) == (2, 0)
    assert row.run_us == pytest.approx((20 * 3 / 4 + 20 * 2 / 3) * MINUTE_US), (
        "three of four pieces at hand, then two of three"
    )
