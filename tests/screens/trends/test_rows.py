"""Buttons beside each other on Trends are written in one size."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtWidgets import QApplication

from shopclock.screens.trends.controls import ButtonRow
from shopclock.views.button import Button
from tests.looks import SCREENS

if TYPE_CHECKING:
    from collections.abc import Callable

    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style

WAYS = ("by blade count", "by date", "batch after batch", "set-up", "as a table", "how this was worked out")


@pytest.mark.parametrize("gloves", [False, True])
@pytest.mark.parametrize("size", SCREENS)
def test_the_ways_to_look_at_a_stage_have_one_size(
    make_look: Callable[..., Style], qtbot: QtBot, size: tuple[int, int], gloves: bool
) -> None:
    """On the television the longest stood in two lines half as large as those beside it, with room at its right."""
    look = make_look(*size, gloves=gloves)
    row = ButtonRow(look, WAYS)
    qtbot.addWidget(row)
    row.show_states({way: Button(way) for way in WAYS})
    row.resize(look.sizes.width - 2 * look.sizes.margin, look.sizes.tab)
    row.show()
    QApplication.processEvents()
    assert {button.texts()[0].text.px for button in row.buttons.values()} == {look.sizes.body_text}
