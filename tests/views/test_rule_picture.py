"""Labels along a rule keep out of each other's way."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from shopclock.views.rule_picture import PlacedLabel, place_labels

GAP = 5.0
ROOM = 600.0


def test_the_one_on_the_right_of_two_stands_lower_where_both_can_not_stand_beside_each_other() -> None:
    """The first runs over the second's upright, so it has to be above it."""
    assert place_labels([(100, 80), (140, 80)], ROOM, 2, GAP) == [PlacedLabel(15.0, 0), PlacedLabel(145.0, 0)], (
        "the first one turns to the left before a second level is taken"
    )
    assert place_labels([(60, 80), (100, 80)], ROOM, 2, GAP) == [PlacedLabel(65.0, 1), PlacedLabel(105.0, 0)]


def test_where_there_is_no_room_the_last_named_has_no_words() -> None:
    placed = place_labels([(60, 80), (62, 80), (64, 80)], 160.0, 1, GAP)
    assert placed[0] is not None
    assert placed[1:] == [None, None]


def test_words_do_not_cover_a_mark_that_has_none() -> None:
    """One level, no room for the second's words on either side: the first's keep off its mark."""
    assert place_labels([(60, 30), (100, 300)], 220.0, 1, GAP) == [PlacedLabel(65.0, 0), None]
    assert place_labels([(60, 60), (100, 300)], 220.0, 1, GAP) == [None, None], "neither side is free for sixty"


def test_thirty_marks_crowded_together_are_placed_at_once_and_the_first_have_their_words() -> None:
    """Each in each of four ways would be more than a lifetime's work."""
    placed = place_labels([(100 + n % 7, 120) for n in range(30)], ROOM, 2, GAP)
    assert len(placed) == 30
    assert placed[0] is not None


places = st.lists(st.tuples(st.floats(0, ROOM), st.floats(10, 250)), max_size=9)


@given(places, st.integers(1, 3))
def test_no_label_meets_another_or_leaves_the_room(at: list[tuple[float, float]], levels: int) -> None:
    placed = place_labels(at, ROOM, levels, GAP)
    told = [(x, wide, one) for (x, wide), one in zip(at, placed, strict=True) if one is not None]
    assert all(one.left >= 0 and one.left + wide <= ROOM for _, wide, one in told)
    bare = [x for (x, _), one in zip(at, placed, strict=True) if one is None]
    for x, wide, one in told:
        assert one.level or not any(one.left < mark < one.left + wide and abs(mark - x) > GAP for mark in bare)
    for (x, wide, one), (other_x, other_wide, other) in combinations(told, 2):
        if one.level == other.level:
            assert one.left + wide + GAP <= other.left or other.left + other_wide + GAP <= one.left
        low, high = sorted(((one.level, x, one.left, wide), (other.level, other_x, other.left, other_wide)))
        assert not low[2] < high[1] < low[2] + low[3], "the upright of what stands higher runs through no words"


@given(places)
def test_the_more_levels_the_more_words(at: list[tuple[float, float]]) -> None:
    told = [sum(one is not None for one in place_labels(at[:4], ROOM, levels, GAP)) for levels in (1, 2, 3)]
    assert told == sorted(told)
