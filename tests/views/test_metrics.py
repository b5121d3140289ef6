"""Sizes in millimetres, on the four screens the program is made for."""

from __future__ import annotations

import pytest

from shopclock.views.metrics import CAP_SHARE, Sizes, px_per_mm, ruler_factor

SCREENS = [(1024, 600, 4.63), (1280, 800, 5.94), (1366, 768, 4.41), (1920, 1080, 2.17)]


@pytest.mark.parametrize(
    ("dpi", "believed"), [(150.0, 150.0), (70.0, 70.0), (300.0, 300.0), (69.9, 96.0), (301.0, 96.0), (0.0, 96.0)]
)
def test_a_screen_is_believed_only_between_70_and_300_dpi(dpi: float, believed: float) -> None:
    assert px_per_mm(dpi) == pytest.approx(believed / 25.4)


def test_nonsense_from_a_screen_is_not_believed() -> None:
    assert px_per_mm(float("nan")) == pytest.approx(96 / 25.4)


def test_a_bar_measured_with_a_ruler_sets_the_scale() -> None:
    # The bar was meant to be 100 mm at the screen's own word, and is 174 mm long: a television.
    bar_px = 100 * px_per_mm(96)
    factor = ruler_factor(96, bar_px, 174.0)
    assert px_per_mm(96, factor) * 174.0 == pytest.approx(bar_px)


@pytest.mark.parametrize(("width", "height", "px_mm"), SCREENS)
@pytest.mark.parametrize(("gloves", "least_mm"), [(False, 20.0), (True, 30.0)])
def test_what_is_pressed_while_working_is_large_enough(
    width: int, height: int, px_mm: float, gloves: bool, least_mm: float
) -> None:
    sizes = Sizes(width, height, px_mm, gloves=gloves)
    assert sizes.touch >= least_mm * px_mm - 0.5
    assert sizes.touch <= height * 0.24 + 0.5
    assert sizes.tab >= 44 / 96 * 25.4 * px_mm - 0.5  # WCAG 2.2, 2.5.5: 44 px at 96 to the inch, 11.64 mm


def test_in_a_window_too_small_for_20_mm_a_button_takes_a_quarter_at_most() -> None:
    assert Sizes(640, 360, 11.8).touch == round(360 * 0.24)


@pytest.mark.parametrize(("width", "height", "px_mm"), SCREENS)
def test_the_least_clock_has_digits_of_17_and_a_half_millimetres(width: int, height: int, px_mm: float) -> None:
    assert Sizes(width, height, px_mm).clock_text_min * CAP_SHARE / px_mm >= 17.5


@pytest.mark.parametrize(("width", "height", "px_mm"), SCREENS)
def test_text_grows_in_order_of_its_weight(width: int, height: int, px_mm: float) -> None:
    s = Sizes(width, height, px_mm)
    steps = [s.small_text, s.body_text, s.title_text, s.action_text, s.stage_text]
    assert steps == sorted(set(steps))


@pytest.mark.parametrize(("width", "height", "px_mm"), SCREENS[:3])
def test_text_read_standing_close_has_16_minutes_of_arc_at_half_a_metre(width: int, height: int, px_mm: float) -> None:
    # NUREG-0700 rev. 2, 1.3.1-4: at least 16 minutes of arc; height = 6.283 D arcmin / 21600.
    height_mm = 6.283 * 500 * 16 / 21600
    assert Sizes(width, height, px_mm).body_text * CAP_SHARE / px_mm >= height_mm


def test_the_makers_factor_enlarges_text_alone() -> None:
    plain, large = Sizes(1280, 800, 5.94), Sizes(1280, 800, 5.94, scale=1.5)
    assert large.body_text == pytest.approx(plain.body_text * 1.5, abs=1)
    assert large.touch == plain.touch
