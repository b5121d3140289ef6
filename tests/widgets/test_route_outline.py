"""The route as an outline that fills."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor

from shopclock.views.route_state import RouteState
from shopclock.widgets.route_outline import RouteOutline, outline, spread

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style


def filled_share(look: Style, qtbot: QtBot, fills: tuple[float, ...], *, running: bool) -> float:
    """Share that is filled, in dye blue where a clock runs by hand, else in the colour of text."""
    route = RouteOutline(look)
    qtbot.addWidget(route)
    route.resize(402, 80)
    route.show_state(RouteState("bar", fills, running=running))
    image = route.grab().toImage()
    dye = QColor(look.theme.dye if running else look.theme.text).rgb()
    dark = QColor(look.theme.plate).rgb()
    row = [image.pixelColor(x, 20).rgb() for x in range(3, 399)]
    return row.count(dye) / (row.count(dye) + row.count(dark))


@pytest.mark.parametrize(
    ("fills", "share"), [((0.0,) * 10, 0.0), ((1.0,) * 10, 1.0), ((1.0,) * 5 + (0.0,) * 5, 0.5), ((0.5,) * 4, 0.5)]
)
def test_it_is_filled_as_far_as_the_steps_are_done(
    look: Style, qtbot: QtBot, fills: tuple[float, ...], share: float
) -> None:
    assert filled_share(look, qtbot, fills, running=True) == pytest.approx(share, abs=0.02)
    assert filled_share(look, qtbot, fills, running=False) == pytest.approx(share, abs=0.02)


@pytest.mark.parametrize("name", ["blade", "bar"])
def test_the_outline_fills_its_rectangle_and_stays_inside(name: str) -> None:
    rect = QRectF(10, 20, 400, 40)
    assert outline(name, rect).boundingRect() == rect


marks = st.lists(st.tuples(st.floats(0, 400), st.floats(5, 40)), min_size=1, max_size=6)


@given(marks)
def test_letters_never_stand_on_each_other_nor_outside(found: list[tuple[float, float]]) -> None:
    found.sort()
    widths = [width for _, width in found]
    lefts = spread([centre for centre, _ in found], widths, 400, 5)
    for number, left in enumerate(lefts):
        assert left >= 0
        assert left + widths[number] <= 400 + 1e-6
        if number:
            assert left >= lefts[number - 1] + widths[number - 1] + 5 - 1e-6


def test_a_letter_with_room_stands_under_its_step() -> None:
    assert spread([100, 300], [20, 20], 400, 5) == [90, 290]
