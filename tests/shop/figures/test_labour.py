"""One pair of hands: who gets what of it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.figures.labour import by_maker, divide, labour_of, parts
from shopclock.shop.values.entities import Interval
from shopclock.shop.values.kinds import Certainty, Kind, WorkKind

HAND, WATCH, WAIT, AWAY = Kind.HANDS_ON, Kind.WATCH, Kind.WAIT, Kind.AWAY
Row = tuple[Kind, int, int | None, int]


def intervals(rows: list[Row]) -> list[Interval]:
    """Rows of kind, start, end, number of pieces."""
    return [
        Interval(
            id=n, uuid="", batch_id=1, step_id=1, stage_id=1, maker_id=1, method_id=None, kind=kind, work=WorkKind.RUN,
            cause_step_id=None, start_us=start, end_us=end, start_sure=Certainty.PRESSED,
            end_sure=Certainty.PRESSED, continues_id=None, together=False, shop_c=None, load_id=None,
            pieces=tuple(range(pieces)),
        )
        for n, (kind, start, end, pieces) in enumerate(rows)
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("rows", "labour"),
    [
        pytest.param([(HAND, 0, 60, 3)], [60], id="alone it gets all"),
        pytest.param([(HAND, 0, 60, 1), (HAND, 60, 90, 1)], [60, 30], id="touching shares nothing"),
        pytest.param([(HAND, 0, 60, 5), (HAND, 0, 60, 1)], [50, 10], id="in proportion to the pieces"),
        pytest.param([(HAND, 0, 60, 0), (HAND, 0, 60, 2)], [20, 40], id="shop work counts as one"),
        pytest.param([(HAND, 0, 60, 1), (HAND, 30, 90, 1)], [45, 45], id="only while both run"),
        pytest.param([(WATCH, 0, 60, 4), (HAND, 20, 30, 1)], [50, 10], id="hands go before the watch"),
        pytest.param([(WATCH, 0, 60, 1), (WATCH, 0, 60, 2)], [20, 40], id="two watches share"),
        pytest.param([(WAIT, 0, 60, 4), (HAND, 0, 60, 1)], [None, 60], id="a wait gets nothing"),
        pytest.param([(AWAY, 0, 60, 4)], [None], id="what is away gets nothing"),
        pytest.param([(HAND, 0, 10, 2), (HAND, 0, 10, 1)], [7, 3], id="what is left goes to the first"),
        pytest.param([(HAND, 0, None, 1), (HAND, 0, 60, 1)], [None, 30], id="what runs takes its share"),
        pytest.param([(HAND, 5, 5, 1)], [0], id="no length, no labour"),
    ],
)
def test_the_hands_are_shared(rows: list[Row], labour: list[int | None]) -> None:
    found = labour_of(parts(intervals(rows)))
    assert [found.get(n) for n in range(len(rows))] == labour


def test_what_still_runs_counts_until_an_instant_given() -> None:
    assert labour_of(parts(intervals([(HAND, 0, None, 1), (HAND, 0, 60, 1)]), until_us=100)) == {0: 70, 1: 30}


def test_makers_have_hands_of_their_own() -> None:
    one, other = intervals([(HAND, 0, 60, 1), (HAND, 0, 60, 1)])
    from dataclasses import replace

    theirs = by_maker([one, replace(other, maker_id=2)])
    assert {maker: labour_of(parts(own)) for maker, own in theirs.items()} == {1: {0: 60}, 2: {1: 60}}


@given(st.integers(0, 10**12), st.lists(st.integers(1, 100), min_size=1, max_size=12))
def test_what_is_divided_adds_up_and_nobody_is_off_by_more_than_the_rest(amount: int, weights: list[int]) -> None:
    got = divide(amount, weights)
    assert sum(got) == amount
    for part, weight in zip(got, weights, strict=True):
        assert 0 <= part - amount * weight // sum(weights) <= 1


@given(st.integers(0, 1000), st.integers(1, 9))
def test_what_is_left_over_goes_one_each_from_the_first(amount: int, n: int) -> None:
    got = divide(amount, [1] * n)
    assert got == sorted(got, reverse=True)
    assert got[0] - got[-1] <= 1
