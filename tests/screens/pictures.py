"""What every gallery of a screen needs: the four windows, and a look for each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.places import resource
from shopclock.tour.window_hand import application
from shopclock.views.metrics import Sizes, text_scale
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.style import Style
from shopclock.widgets.theme import read_theme

if TYPE_CHECKING:
    from collections.abc import Callable, Collection
    from pathlib import Path

SCREENS = {"1024x600": 4.63, "1280x800": 5.94, "1366x768": 4.41, "1920x1080": 2.17}
"""Pixels per millimetre of each window."""


def draw_all(folder: Path, draw: Callable[[Style, Path, str], None], screens: Collection[str] = ()) -> None:
    """Draw in these windows, or in all; both themes, bare hands and gloves. `draw` gets the look, folder and stem."""
    application().setStyle("fusion")
    folder.mkdir(parents=True, exist_ok=True)
    family = load_font(resource("fonts", name) for name in FONT_FILES)
    for screen in screens or SCREENS:
        width, height = map(int, screen.split("x"))
        for theme in ("dark", "paper"):
            for gloves in (False, True):
                px_mm = SCREENS[screen]
                sizes = Sizes(width, height, px_mm, gloves=gloves, scale=text_scale("by the screen", px_mm))
                look = Style(read_theme(resource("theme.toml"), theme), sizes, family)
                draw(look, folder, f"{screen}_{theme}{'_gloves' if gloves else ''}")
