"""No text of the Bench is cut on any of the four screens, bare hands or gloves."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.views.button import Button
from shopclock.widgets.labels import Label
from shopclock.widgets.press_button import PressButton
from tests.widgets.conftest import SCREENS

if TYPE_CHECKING:
    from collections.abc import Callable

    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style

BOTTOM = [
    (Button("Stop", role="red"), 0.19),
    (Button("Carry on: finish grind", role="green"), 0.19),
    (Button("Next: Hardness and straightness", role="primary"), 0.28),
    (Button("Done: C", role="green"), 0.19),
    (Button("Not right", role="raised"), 0.13),
    (Button("Undo", "Done: B", role="raised"), 0.13),
    (Button("Undo", "started: Finish grind", role="raised"), 0.13),
]
"""Buttons of the bottom row, with their share of the window's width."""

TILES = [
    Button("26-12  Cook's 180", "temper until 20:55", tile=True),
    Button("Shop work", "sweeping, upkeep, post", tile=True),
    Button("Drill tangs", "26-13 Oyster, 8 blanks", figure="28 min", fraction=0.7),
    Button("Scales", "pair, saw, drill: 6 pairs", aside="usual 29 to 37"),
    Button("Glue, 26-08", "4 paring knives, clamps 1 to 8", note="until tomorrow 20:40"),
]


@pytest.mark.parametrize("size", SCREENS)
@pytest.mark.parametrize("gloves", [False, True])
@pytest.mark.parametrize(("state", "share"), BOTTOM)
def test_the_bottom_row_is_never_cut(
    qtbot: QtBot, make_look: Callable[..., Style], size: tuple[int, int], gloves: bool, state: Button, share: float
) -> None:
    look = make_look(*size, gloves=gloves)
    button = PressButton(look, state)
    qtbot.addWidget(button)
    button.resize(round(size[0] * share) - look.sizes.gap, look.sizes.touch)
    assert not any(placed.text.cut for placed in button.texts())


@pytest.mark.parametrize("size", SCREENS)
@pytest.mark.parametrize("state", TILES)
def test_tiles_a_quarter_wide_are_never_cut(
    qtbot: QtBot, make_look: Callable[..., Style], size: tuple[int, int], state: Button
) -> None:
    look = make_look(*size)
    button = PressButton(look, state)
    qtbot.addWidget(button)
    button.resize(size[0] // 4 - look.sizes.gap, look.sizes.touch)
    assert not any(placed.text.cut for placed in button.texts())
    for placed in button.texts():
        assert button.rect().adjusted(-1, -1, 1, 1).contains(placed.rect.toAlignedRect())


def test_the_usual_range_gives_way_before_anything_shrinks(qtbot: QtBot, look: Style) -> None:
    button = PressButton(look, Button("Scales", "pair, saw, drill: 6 pairs", aside="usual 29 to 37"))
    qtbot.addWidget(button)
    button.resize(600, 119)
    wide = [line for placed in button.texts() for line in placed.text.lines]
    button.resize(300, 119)
    narrow = [line for placed in button.texts() for line in placed.text.lines]
    assert "usual 29 to 37" in wide
    assert "usual 29 to 37" not in narrow
    assert "pair, saw, drill: 6 pairs" in narrow


@pytest.mark.parametrize("size", SCREENS)
def test_a_label_shrinks_before_it_is_cut(qtbot: QtBot, make_look: Callable[..., Style], size: tuple[int, int]) -> None:
    label = Label(make_look(*size), "sentence", "Freehand gets 13 % quicker each time the count doubles (8 to 17 %).")
    qtbot.addWidget(label)
    label.resize(size[0] - 40, label.sizeHint().height())
    assert not label.fitted().cut
