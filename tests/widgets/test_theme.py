"""The colours: every pair in use can be read."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

import pytest

from shopclock.places import resource
from shopclock.views.metrics import Sizes
from shopclock.widgets.stylesheet import stylesheet
from shopclock.widgets.theme import (
    CONTRAST_MIN,
    SURFACES,
    ThemeError,
    accent,
    button_surface,
    contrast,
    pairs,
    read_theme,
    surface,
)
from tests.published.tables import tables

if TYPE_CHECKING:
    from pathlib import Path

THEMES = ("dark", "paper")


@pytest.mark.parametrize(("colour", "ratio"), tables("contrast")["greys"]["on_white"])
def test_contrast_on_white_is_the_published_ratio(colour: str, ratio: float) -> None:
    assert contrast(colour, "#FFFFFF") == pytest.approx(ratio, abs=5e-7)
    assert contrast("#FFFFFF", colour) == contrast(colour, "#FFFFFF")


@pytest.mark.parametrize("name", THEMES)
def test_every_pair_in_use_has_seven_to_one(name: str) -> None:
    short = [(what, round(contrast(a, b), 3)) for what, a, b in pairs(read_theme(resource("theme.toml"), name))
             if contrast(a, b) < CONTRAST_MIN]  # fmt: skip
    assert short == []


@pytest.mark.parametrize("name", THEMES)
def test_a_button_on_any_plate_can_be_read(name: str) -> None:
    theme = read_theme(resource("theme.toml"), name)
    for role, on in itertools.product(SURFACES, SURFACES):
        drawn = button_surface(theme, role, on)
        assert contrast(drawn.text, drawn.ground) >= CONTRAST_MIN, (role, on)
        assert contrast(drawn.quiet, drawn.ground) >= CONTRAST_MIN, (role, on)


@pytest.mark.parametrize("name", THEMES)
def test_the_colours_of_charts_stand_out_from_their_ground(name: str) -> None:
    # WCAG 2.2, 1.4.11: parts of graphics at least 3:1 against what is beside them.
    theme = read_theme(resource("theme.toml"), name)
    for role in ("dye_text", "straw", "bronze", "purple", "green", "red", "line"):
        for ground in (theme.ground, theme.plate):
            assert contrast(getattr(theme, role), ground) >= 3.0, role


@pytest.mark.parametrize("name", THEMES)
def test_coloured_text_is_kept_for_plain_grounds(name: str) -> None:
    theme = read_theme(resource("theme.toml"), name)
    assert accent(theme, surface(theme, "plate"), "straw") == theme.straw
    assert accent(theme, surface(theme, "dye"), "straw") == theme.on_dye


@pytest.mark.parametrize(
    ("text", "role"),
    [("[dark]\n", "ground"), ('[dark]\nground = "blue"\n', "ground"), ('[dark]\nground = "#0B1120"\n', "plate")],
)
def test_a_theme_file_that_lacks_a_colour_is_named_with_the_role(tmp_path: Path, text: str, role: str) -> None:
    path = tmp_path / "theme.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ThemeError, match=rf"theme\.toml: \[dark\] {role} should be a colour"):
        read_theme(path, "dark")


def test_the_style_sheet_names_no_colour_outside_the_theme() -> None:
    theme = read_theme(resource("theme.toml"), "paper")
    known = {str(getattr(theme, role)) for role in theme.__slots__}
    used = [word.strip(";") for word in stylesheet(theme, Sizes(1280, 800, 5.94)).split() if word.startswith("#")]
    assert used
    assert set(used) <= known
