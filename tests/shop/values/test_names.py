"""Names that fit on a button and can't be taken for one another; numbers that were typed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.names import LONGEST, good_name, good_number, names_said


@given(st.text(st.sampled_from("aZ9 \t\n'é–"), max_size=60))
def test_a_name_is_one_tidy_line_that_fits_or_is_refused(text: str) -> None:
    tidy = " ".join(text.split())
    if 0 < len(tidy) <= LONGEST:
        assert good_name(text) == tidy
    else:
        with pytest.raises(Refusal):
            good_name(text)


def test_letters_as_wide_as_two_count_as_two() -> None:
    """Half as many Japanese letters fill a button; the é of common width counts once."""
    assert good_name("刃" * 20) == "刃" * 20
    assert good_name("é" * 40) == "é" * 40
    with pytest.raises(Refusal, match=r"42 of at most 40 letters\. A wide one counts as two\. Nothing was changed"):
        good_name("刃" * 21)


@pytest.mark.parametrize(
    ("names", "said"),
    [
        ([], ""),
        (["é" * 40], "é" * 40),
        (["a" * 19, "b" * 19], f"{'a' * 19}, {'b' * 19}"),
        (["a" * 19, "b" * 20], "2 methods"),
        (["刃" * 10, "焼" * 10], "2 methods"),
        (["a" * 19, "b" * 19, "c" * 19], "3 methods"),
    ],
)
def test_more_names_than_have_the_room_of_one_are_counted(names: list[str], said: str) -> None:
    assert names_said(names, "methods") == said


def test_of_the_first_names_alone_it_is_still_told_how_many_there_are() -> None:
    assert names_said(["dropped", "cracked", "warped", "soft"], "reasons", 3) == "dropped, cracked, warped"
    assert names_said(["a" * 30, "b" * 30, "c", "d"], "reasons", 3) == "4 reasons"


@pytest.mark.parametrize("name", ["Jig", "jig", " JIG "])
def test_a_name_in_other_capitals_is_the_same_name(name: str) -> None:
    with pytest.raises(Refusal, match="already"):
        good_name(name, ["freehand", "jig"])


@pytest.mark.parametrize(
    ("typed", "number"),
    [("5", 5.0), ("0.5", 0.5), ("8", 8.0), ("0", None), ("-1", None), ("8.1", None), ("", None), ("1/2", None),
     ("nan", None), ("inf", None)],
)  # fmt: skip
def test_a_number_is_above_nothing_and_not_beyond_the_most(typed: str, number: float | None) -> None:
    assert good_number(typed, 8) == number
