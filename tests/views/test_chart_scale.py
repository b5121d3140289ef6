"""Where the marks of an axis stand, and labels that keep apart."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.views.chart_picture import Band, Dot, Picture, Series
from shopclock.views.chart_scale import even_ticks, nearest, spread, thinned, top_of, widened


@pytest.mark.parametrize(
    ("top", "texts"),
    [
        (32.0, ["0", "10", "20", "30"]),
        (18.0, ["0", "5", "10", "15"]),
        (6.0, ["0", "1", "2", "3", "4", "5", "6"]),
        (0.5, ["0.0", "0.1", "0.2", "0.3", "0.4", "0.5"]),
        (0.0, ["0"]),
    ],
)
def test_marks_are_at_round_steps_from_zero(top: float, texts: list[str]) -> None:
    assert [text for _, text in even_ticks(top)] == texts


@given(st.floats(0.001, 100_000))
def test_marks_are_few_and_never_above_the_top(top: float) -> None:
    places = [place for place, _ in even_ticks(top)]
    assert places[0] == 0
    assert places[-1] <= top * (1 + 1e-6)
    assert 2 <= len(places) <= 7


def test_names_that_do_not_fit_are_left_out_evenly_and_the_newest_stays() -> None:
    ticks = [(float(i), f"26-{i:02d}") for i in range(1, 11)]
    assert [text for _, text in thinned(ticks, 50.0, 30.0)] == ["26-02", "26-04", "26-06", "26-08", "26-10"]


@given(st.lists(st.floats(0, 100), min_size=1, max_size=6))
def test_words_keep_apart_inside_the_chart_in_their_order(places: list[float]) -> None:
    moved = spread(places, [15.0] * len(places), -7.5, 107.5)
    ordered = sorted(moved)
    assert all(b - a >= 15.0 - 1e-6 for a, b in pairwise(ordered))
    assert ordered[0] >= -1e-6
    assert ordered[-1] <= 100.0 + 1e-6
    ranks = sorted(range(len(places)), key=lambda i: places[i])
    assert [moved[i] for i in ranks] == ordered


def test_words_that_do_not_touch_stay_where_they_are() -> None:
    assert spread([40.0, 10.0], [15.0, 15.0], 0.0, 100.0) == [40.0, 10.0]


def test_words_of_one_line_take_less_room_than_those_of_three() -> None:
    assert spread([50.0, 51.0, 52.0], [10.0, 40.0, 10.0], 0.0, 60.0) == [5.0, 30.0, 55.0]


def test_the_axis_ends_so_that_the_words_have_their_room() -> None:
    end = widened(0.0, 30.0, 400.0, 100.0)
    assert (end - 30.0) / end * 400.0 == pytest.approx(100.0)


@pytest.mark.parametrize(("x", "y", "found"), [(12.0, 9.0, 0), (48.0, 52.0, 1), (200.0, 200.0, None)])
def test_a_press_near_a_mark_means_it(x: float, y: float, found: int | None) -> None:
    assert nearest([(10.0, 10.0), (50.0, 50.0)], x, y, 20.0) == found


def test_a_chart_without_marks_cannot_be_pressed() -> None:
    assert nearest([], 1.0, 1.0, 20.0) is None


def test_marks_that_begin_above_zero_stand_at_even_steps_too() -> None:
    assert [text for _, text in even_ticks(128, low=60)] == ["60", "80", "100", "120"]


def test_a_band_far_above_all_marks_is_cut_off_for_the_sake_of_the_rest() -> None:
    band = Band((1.0, 2.0), (5.0, 5.0), (10.0, 10.0), (10.0, 900.0))
    series = Series("", "", "dye_text", "o", False, (Dot("a", 1.0, 10.0), Dot("b", 2.0, 12.0)), band)
    assert top_of(Picture((series,), None, 0.0, 2.0)) == pytest.approx(1.12 * 1.5 * 12)
    alone = replace(series, dots=())
    assert top_of(Picture((alone,), None, 0.0, 2.0)) == pytest.approx(1.12 * 900)
    assert top_of(Picture((), None, 0.0, 2.0)) == 1.0
