"""A workshop for each test, and a look for those with a window."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.places import resource
from tests.screens.bench.workshop import Workshop

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication

    from shopclock.widgets.style import Style

SCREENS = {(1024, 600): 4.63, (1280, 800): 5.94, (1366, 768): 4.41, (1920, 1080): 2.17}
"""Window size in px, and px per millimetre."""


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    made = Workshop.open(tmp_path / "shop.shopclock")
    yield made
    made.record.close()


@pytest.fixture
def make_look(qapp: QApplication) -> Callable[..., Style]:
    from shopclock.views.metrics import Sizes, text_scale
    from shopclock.widgets.fonts import FONT_FILES, load_font
    from shopclock.widgets.style import Style
    from shopclock.widgets.theme import read_theme

    family = load_font(resource("fonts", name) for name in FONT_FILES)

    def make(width: int = 1280, height: int = 800, theme: str = "dark", *, gloves: bool = False) -> Style:
        px_mm = SCREENS[width, height]
        sizes = Sizes(width, height, px_mm, gloves=gloves, scale=text_scale("by the screen", px_mm))
        return Style(read_theme(resource("theme.toml"), theme), sizes, family, bounce_ms=0)

    return make
