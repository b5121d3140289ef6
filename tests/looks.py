"""The four windows in which everything is looked at, and a look for each."""

from __future__ import annotations

from shopclock.places import resource
from shopclock.views.metrics import Sizes, text_scale
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.style import Style
from shopclock.widgets.theme import read_theme

SCREENS = {(1024, 600): 4.63, (1280, 800): 5.94, (1366, 768): 4.41, (1920, 1080): 2.17}
"""Pixels per millimetre of each window, by its size in pixels."""


def sizes_of(width: int, height: int, *, gloves: bool = False) -> Sizes:
    """Sizes in one of the windows, texts as large as usual on such a screen."""
    px_mm = SCREENS[width, height]
    return Sizes(width, height, px_mm, gloves=gloves, scale=text_scale("by the screen", px_mm))


def make_look(width: int = 1280, height: int = 800, theme: str = "dark", *, gloves: bool = False) -> Style:
    """Make a look; a press is taken however soon it comes after another. Needs an application."""
    family = load_font(resource("fonts", name) for name in FONT_FILES)
    sizes = sizes_of(width, height, gloves=gloves)
    return Style(read_theme(resource("theme.toml"), theme), sizes, family, bounce_ms=0)
