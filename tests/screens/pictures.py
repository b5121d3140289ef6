"""What every gallery of a screen needs: the four windows, and a look for each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.tour.window_hand import application
from tests import looks

if TYPE_CHECKING:
    from collections.abc import Callable, Collection
    from pathlib import Path

    from shopclock.widgets.style import Style

SCREENS = {f"{width}x{height}": px_mm for (width, height), px_mm in looks.SCREENS.items()}
"""Pixels per millimetre of each window, by its name."""


def draw_all(folder: Path, draw: Callable[[Style, Path, str], None], screens: Collection[str] = ()) -> None:
    """Draw in these windows, or in all; both themes, bare hands and gloves. `draw` gets the look, folder and stem."""
    application().setStyle("fusion")
    folder.mkdir(parents=True, exist_ok=True)
    for screen in screens or SCREENS:
        width, height = map(int, screen.split("x"))
        for theme in ("dark", "paper"):
            for gloves in (False, True):
                look = looks.make_look(width, height, theme, gloves=gloves)
                draw(look, folder, f"{screen}_{theme}{'_gloves' if gloves else ''}")
