"""One pair of hands: who gets what of it."""

from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from math import lcm

import portion
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.figures.labour import Part, apart, by_maker, divide, labour_of, parts
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


def test_what_is_left_over_goes_to_the_first_by_start_then_by_number_in_whatever_order_they_come() -> None:
    """Alone up to 10; then three share 10, one over, which is the first's; of 11, two over, the next has the other."""
    later, first, same = intervals([(HAND, 10, 20, 1), (HAND, 0, 20, 1), (HAND, 10, 20, 1)])
    for some in ([later, first, same], [same, later, first]):
        assert labour_of(parts(some)) == {1: 10 + 4, 0: 3, 2: 3}
    later, same, first = intervals([(HAND, 10, 21, 1), (HAND, 10, 21, 1), (HAND, 0, 21, 1)])
    for some in ([later, same, first], [same, first, later]):
        assert labour_of(parts(some)) == {2: 10 + 4, 0: 4, 1: 3}


def test_a_part_ends_where_a_piece_was_done_and_what_is_left_over_is_so_by_part() -> None:
    """Cut at 5 each half of 5 leaves one over, and both go to the first: 6 and 4 where uncut it is 5 and 5."""
    both = intervals([(HAND, 0, 10, 1), (HAND, 0, 10, 1)])
    assert parts(both, cuts=[5]) == {0: [Part(0, 5, 3), Part(5, 10, 3)], 1: [Part(0, 5, 2), Part(5, 10, 2)]}
    assert parts(both) == {0: [Part(0, 10, 5)], 1: [Part(0, 10, 5)]}


def test_a_watch_has_a_part_of_nothing_while_a_hand_is_elsewhere() -> None:
    found = parts(intervals([(WATCH, 0, 30, 1), (HAND, 10, 20, 1)]))
    assert found == {0: [Part(0, 10, 10), Part(10, 20, 0), Part(20, 30, 10)], 1: [Part(10, 20, 10)]}


def test_nobody_works_in_a_gap() -> None:
    assert parts(intervals([(HAND, 0, 10, 1), (HAND, 30, 35, 1)])) == {0: [Part(0, 10, 10)], 1: [Part(30, 35, 5)]}


def test_makers_have_hands_of_their_own() -> None:
    one, other = intervals([(HAND, 0, 60, 1), (HAND, 0, 60, 1)])
    theirs = by_maker([one, replace(other, maker_id=2)])
    assert {maker: labour_of(parts(own)) for maker, own in theirs.items()} == {1: {0: 60}, 2: {1: 60}}


@pytest.mark.parametrize(
    ("rows", "groups"),
    [
        pytest.param([], [], id="none"),
        pytest.param([(HAND, 0, 10, 1), (HAND, 10, 20, 1)], [[0], [1]], id="what touches shares no instant"),
        pytest.param([(HAND, 0, 10, 1), (WATCH, 9, 20, 1)], [[0, 1]], id="what overlaps does"),
        pytest.param([(HAND, 0, 50, 1), (HAND, 5, 10, 1), (HAND, 30, 40, 1)], [[0, 1, 2]], id="the longest lasts on"),
        pytest.param([(HAND, 0, None, 1), (HAND, 5, 10, 1), (HAND, 30, 40, 1)], [[0, 1, 2]], id="what runs lasts on"),
        pytest.param([(HAND, 0, 9, 1), (WAIT, 5, 50, 1), (HAND, 20, 30, 1)], [[0], [2]], id="a wait joins nothing"),
        pytest.param([(HAND, 20, 30, 1), (HAND, 0, 10, 1), (HAND, 5, 20, 1)], [[1, 2], [0]], id="in whatever order"),
        pytest.param([(HAND, 0, 9, 1), (HAND, 20, 40, 1), (HAND, 20, 30, 1)], [[0], [1, 2]], id="by start, by number"),
        pytest.param([(HAND, 0, 90, 1), (HAND, 90, 95, 1), (HAND, 93, 99, 1)], [[0], [1, 2]], id="a long one is over"),
    ],
)
def test_work_falls_into_groups_that_share_no_hands(rows: list[Row], groups: list[list[int]]) -> None:
    every = intervals(rows)
    assert [[i.id for i in group] for group in apart(every)] == groups
    assert [[i.id for i in group] for group in apart(reversed(every))] == groups


ROWS = st.lists(
    st.tuples(st.sampled_from(Kind), st.integers(0, 12), st.integers(0, 6) | st.none(), st.integers(0, 4)), max_size=6
).map(lambda rows: [(kind, start, None if length is None else start + length, n) for kind, start, length, n in rows])
EXACT_US = lcm(*range(1, 6 * 4 + 1))
"""Divides by all that six intervals of up to four pieces can weigh together: nothing is ever left over."""


def one_unit_after_the_other(rows: list[Row], last: int) -> dict[int, Fraction]:
    """What each attended interval gets, by who was under the hands in each unit of time up to the last."""
    got = {n: Fraction(0) for n, (kind, *_) in enumerate(rows) if kind in (HAND, WATCH)}
    for at in range(last):
        here = [n for n in got if rows[n][1] <= at and (rows[n][2] is None or at < rows[n][2])]
        under = [n for n in here if rows[n][0] is HAND] or here
        weights = {n: max(1, rows[n][3]) for n in under}
        for n, weight in weights.items():
            got[n] += Fraction(weight, sum(weights.values()))
    return got


@given(ROWS)
def test_labour_is_what_it_is_one_unit_of_time_after_the_other(rows: list[Row]) -> None:
    last = 20
    exact = [
        (kind, start * EXACT_US, None if end is None else end * EXACT_US, pieces) for kind, start, end, pieces in rows
    ]
    by_unit = {n: us * EXACT_US for n, us in one_unit_after_the_other(rows, last).items()}
    assert labour_of(parts(intervals(exact), until_us=last * EXACT_US)) == by_unit
    ended = {n: us for n, us in by_unit.items() if rows[n][2] is not None}
    assert labour_of(parts(intervals(exact))) == ended


@given(ROWS, st.lists(st.integers(0, 20), max_size=3))
def test_all_labour_is_the_time_that_somebody_was_at_it(rows: list[Row], cuts: list[int]) -> None:
    """The union by a library that is none of ours; group by group, and cut anywhere, it is the same."""
    worked = portion.empty()
    for kind, start, end, _ in rows:
        if kind in (HAND, WATCH):
            worked |= portion.closedopen(start, 20 if end is None else end)
    whole = parts(intervals(rows), cuts, until_us=20)
    assert sum(labour_of(whole).values()) == sum(span.upper - span.lower for span in worked)
    by_group: dict[int, list[Part]] = {}
    for group in apart(intervals(rows)):
        by_group |= parts(group, cuts, until_us=20)
    assert by_group == whole


@given(ROWS)
def test_groups_share_no_instant_and_hold_together(rows: list[Row]) -> None:
    groups = [[(i.start_us, 99 if i.end_us is None else i.end_us) for i in group] for group in apart(intervals(rows))]
    assert sum(map(len, groups)) == sum(kind in (HAND, WATCH) for kind, *_ in rows)
    for one, other in combinations(groups, 2):
        assert max(end for _, end in one) <= min(start for start, _ in other)
    for group in groups:
        for i in range(1, len(group)):
            assert group[i][0] < max(end for _, end in group[:i])


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
