"""Text into a box: shrink, then two lines, then more, then cut."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.views.fit import BREAK, CUT_SIGN, LINE_HEIGHT, TextBox, fit, halves


def monospaced(text: str, px: int) -> float:
    return len(text) * px * 0.5


def test_text_that_fits_keeps_its_size() -> None:
    fitted = fit("Stop", TextBox(100, 40, 30, 20, 10), monospaced)
    assert (fitted.lines, fitted.px, fitted.cut) == (("Stop",), 30, False)


def test_text_first_shrinks_to_its_floor() -> None:
    fitted = fit("Next: Heat", TextBox(100, 100, 30, 20, 10), monospaced)
    assert (fitted.lines, fitted.px) == (("Next: Heat",), 20)


def test_then_it_takes_two_lines_at_the_largest_size_that_fits() -> None:
    fitted = fit("Next: Heat treat", TextBox(100, 100, 30, 20, 10), monospaced)
    assert (fitted.lines, fitted.px, fitted.cut) == (("Next:", "Heat treat"), 20, False)


@pytest.mark.parametrize(
    ("height", "lines", "px"), [(24, ("26-11 Cook's 180",), 12), (32, ("26-11", "Cook's 180"), 13)]
)
def test_in_a_low_box_one_line_shrinks_below_its_floor_before_two_are_smaller_still(
    height: int, lines: tuple[str, ...], px: int
) -> None:
    fitted = fit("26-11 Cook's 180", TextBox(100, height, 30, 20, 6), monospaced)
    assert (fitted.lines, fitted.px) == (lines, px)


def test_one_long_word_shrinks_further_before_it_is_cut() -> None:
    fitted = fit("Straightening", TextBox(100, 100, 30, 20, 10), monospaced)
    assert (fitted.lines, fitted.px) == (("Straightening",), 15)


def test_only_then_it_is_cut_and_says_so() -> None:
    fitted = fit("Grind the bevels of all blades", TextBox(50, 30, 30, 20, 10), monospaced)
    assert fitted.cut
    assert fitted.lines[-1].endswith(CUT_SIGN)


@pytest.mark.parametrize(
    ("height", "lines", "px"),
    [
        (90, ("Couteau à", "désosser", "façonné à", "la forge"), 18),
        (54, ("Couteau à", "désosser façonné", "à la forge"), 12),
        (36, ("Couteau à", f"désosser façonn{CUT_SIGN}"), 12),
    ],
)
def test_rather_than_be_cut_it_takes_as_many_lines_as_the_height_has(
    height: int, lines: tuple[str, ...], px: int
) -> None:
    fitted = fit("Couteau à désosser façonné à la forge", TextBox(100, height, 30, 20, 12), monospaced)
    assert (fitted.lines, fitted.px, fitted.cut) == (lines, px, height == 36)


def test_two_lines_are_broken_at_a_dot_rather_than_in_a_name() -> None:
    text = "7.8 to 9.3 h to come · The oyster cart by Fri 5 Mar"
    fitted = fit(text, TextBox(180, 60, 20, 18, 12), monospaced)
    assert (fitted.lines, fitted.px) == (("7.8 to 9.3 h to come", "The oyster cart by Fri 5 Mar"), 12)
    narrow = fit(text, TextBox(160, 60, 20, 18, 12), monospaced)
    assert (narrow.lines, narrow.px) == (("7.8 to 9.3 h to come · The", "oyster cart by Fri 5 Mar"), 12)


def test_two_lines_are_broken_where_they_come_out_most_equal() -> None:
    assert halves("aa bb ccc dddd", 10, monospaced) == ("aa bb", "ccc dddd")
    assert halves("word", 10, monospaced) == ("word",)


@pytest.mark.parametrize(
    "whole",
    [
        "Thu 26 Nov",
        "26 Nov 2026",
        "40 min",
        "1 h 40",
        "2 h",
        "19 °C",
        "13 %",
        "EUR 12.50",
        "0.2 mm",
        "56 HRC",
        "3 days",
        "tomorrow 17:34",
        "8 times in 10",
        "19 times in 20",
        "2 of 7",
    ],
)
def test_a_date_and_a_number_with_its_unit_are_never_broken(whole: str) -> None:
    text = f"aaaa {whole} bbbb"
    parts = BREAK.split(text)
    assert parts == ["aaaa", whole, "bbbb"]
    for width in range(20, 200, 7):
        fitted = fit(text, TextBox(width, 200, 30, 20, 5), monospaced)
        assert fitted.cut or any(whole in line for line in fitted.lines)


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("/home/anna/knives/shop.shopclock", ("/home/anna/knives/", "shop.shopclock")),
        (r"C:\Users\Anna\knives.shopclock", ("C:\\Users\\Anna\\", "knives.shopclock")),
        ("/home/anna/my knives/shop.shopclock", ("/home/anna/my", "knives/shop.shopclock")),
        ("EUR/h", ("EUR/h",)),
        ("20 km/h", ("20", "km/h")),
    ],
)
def test_a_place_without_a_space_is_broken_after_a_folder(text: str, lines: tuple[str, ...]) -> None:
    assert halves(text, 10, monospaced) == lines


def test_a_dot_between_two_parts_stays_at_the_end_of_its_line() -> None:
    assert BREAK.split("26-10  ·  8 blades") == ["26-10  ·", "8", "blades"]


@given(st.text("ab cdefg", min_size=1, max_size=40), st.integers(5, 400), st.integers(15, 200))
def test_nothing_is_ever_written_wider_or_higher_than_its_box(text: str, width: int, height: int) -> None:
    fitted = fit(text, TextBox(width, height, 30, 20, 12), monospaced)
    assert len(fitted.lines) * fitted.px * LINE_HEIGHT <= height + 1e-9
    if fitted.lines != (CUT_SIGN,):
        assert all(monospaced(line, fitted.px) <= width for line in fitted.lines)
    if not fitted.cut:
        assert "".join(fitted.lines).split() == text.split() or " ".join(fitted.lines).split() == text.split()


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("三徳包丁両刃", ("三徳包", "丁両刃")),
        ("ロケット", ("ロ", "ケット")),
        ("三徳包丁 24", ("三徳包", "丁 24")),
        ("Messer", ("Messer",)),
    ],
)
def test_japanese_is_broken_between_its_letters_but_not_before_what_begins_no_line(
    text: str, lines: tuple[str, ...]
) -> None:
    """It is written without spaces. A small letter belongs to the one before it: ロケ and ット are nearer to halves."""
    assert halves(text, 10, monospaced) == lines
