"""Names that fit on a button and can't be taken for one another; numbers that were typed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.names import LONGEST, good_name, good_number


@given(st.text(st.sampled_from("aZ9 \t\n'é–"), max_size=40))
def test_a_name_is_one_tidy_line_that_fits_or_is_refused(text: str) -> None:
    tidy = " ".join(text.split())
    if 0 < len(tidy) <= LONGEST:
        assert good_name(text) == tidy
    else:
        with pytest.raises(Refusal):
            good_name(text)


def test_letters_as_wide_as_two_count_as_two() -> None:
    """Half as many Japanese letters fill a button; the é of common width counts once."""
    assert good_name("刃" * 14) == "刃" * 14
    assert good_name("é" * 28) == "é" * 28
    with pytest.raises(Refusal, match=r"30 of at most 28 letters\. A wide one counts as two\. Nothing was changed"):
        good_name("刃" * 15)


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
