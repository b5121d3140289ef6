"""Allowances and readings needed: identities, and what can't be said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.answer import NoAnswer
from shopclock.analysis.work_measurement import ShareOf, normal_min, readings_needed, standard_min

MINUTES = st.lists(st.floats(1, 50), min_size=2, max_size=12)


@given(st.floats(0, 200), st.floats(0, 0.9))
def test_a_share_of_the_day_is_that_share_of_what_is_planned(normal: float, allowance: float) -> None:
    planned = standard_min(normal, allowance, ShareOf.DAY)
    assert planned - normal == pytest.approx(allowance * planned)


@given(st.floats(0, 200), st.floats(0, 0.9))
def test_a_share_of_the_job_is_that_share_of_the_work(normal: float, allowance: float) -> None:
    assert standard_min(normal, allowance, ShareOf.JOB) - normal == pytest.approx(allowance * normal)


def test_without_rating_and_allowance_nothing_changes() -> None:
    assert standard_min(normal_min(14.6), 0, ShareOf.DAY) == 14.6


@given(MINUTES, st.floats(0.1, 10))
def test_readings_needed_do_not_hang_on_the_unit(minutes: list[float], scale: float) -> None:
    one, other = readings_needed(minutes), readings_needed([m * scale for m in minutes])
    assert isinstance(one, int)
    assert isinstance(other, int)
    assert abs(one - other) <= 1


def test_readings_alike_need_one_more_at_most() -> None:
    assert readings_needed([5.0, 5.0, 5.0]) == 1


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        ([], "not enough readings yet (0 of 2)"),
        ([3.0], "not enough readings yet (1 of 2)"),
        ([0.0, 0.0], "these 2 readings took no time"),
    ],
)
def test_too_little_is_a_sentence(minutes: list[float], said: str) -> None:
    found = readings_needed(minutes)
    assert isinstance(found, NoAnswer)
    assert found.text("readings") == said
