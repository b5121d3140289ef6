"""A look at 1280 x 800 in the dark theme."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.places import resource
from shopclock.views.metrics import Sizes
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.style import Style
from shopclock.widgets.theme import read_theme

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication


@pytest.fixture
def look(qapp: QApplication) -> Style:
    family = load_font(resource("fonts", name) for name in FONT_FILES)
    return Style(read_theme(resource("theme.toml"), "dark"), Sizes(1280, 800, 5.94), family, bounce_ms=0)
