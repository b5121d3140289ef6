"""The rules see what they are meant to see."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QWidget

from shopclock.places import resource
from shopclock.widgets.theme import read_theme
from tests.look.rules import dye_share

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

TOLD = {"dye": True, "dye_deep": True, "ground": False, "plate": False, "raised": False, "line": False, "text": False,
        "red_ground": False, "green_ground": False, "straw_ground": False, "purple": False}  # fmt: skip
"""Roles, and whether they are dye blue."""


class Filled(QWidget):
    """A quarter of it is in one colour, the rest is black."""

    def __init__(self, colour: str) -> None:
        super().__init__()
        self._colour = QColor(colour)
        self.resize(80, 40)

    def paintEvent(self, _event: object) -> None:
        with QPainter(self) as p:
            p.fillRect(self.rect(), QColor("black"))
            p.fillRect(0, 0, 20, 40, self._colour)


@pytest.mark.parametrize("theme", ["dark", "paper"])
@pytest.mark.parametrize("role", TOLD)
def test_dye_blue_is_told_from_every_other_colour(qtbot: QtBot, theme: str, role: str) -> None:
    widget = Filled(getattr(read_theme(resource("theme.toml"), theme), role))
    qtbot.addWidget(widget)
    assert dye_share(widget) == (0.25 if TOLD[role] else 0.0)
