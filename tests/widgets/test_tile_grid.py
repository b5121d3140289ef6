"""Large tiles, a page at a time."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from shopclock.views.button import Button
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.tile_grid import TileGrid
from tests.widgets.conftest import SCREENS

if TYPE_CHECKING:
    from collections.abc import Callable

    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style


def grid_of(qtbot: QtBot, look: Style, count: int, width: int, height: int) -> TileGrid:
    look.bounce_ms = 0
    grid = TileGrid(look)
    grid.resize(width, height)
    grid.show_tiles([Button(f"Step {n}", "0 of 7 through", tile=True, key=f"step {n}") for n in range(count)])
    qtbot.addWidget(grid)
    grid.show()
    return grid


def click(widget: PressButton) -> None:
    QTest.mouseClick(widget, Qt.MouseButton.LeftButton)


def turner(grid: TileGrid, title: str) -> PressButton:
    return next(button for button in grid.findChildren(PressButton) if button.state.title == title)


@pytest.mark.parametrize("size", SCREENS)
@pytest.mark.parametrize("gloves", [False, True])
def test_every_tile_can_be_reached_and_is_large_enough(
    qtbot: QtBot, make_look: Callable[..., Style], size: tuple[int, int], gloves: bool
) -> None:
    look = make_look(*size, gloves=gloves)
    grid = grid_of(qtbot, look, 34, size[0] - 40, size[1] - 150)
    seen: list[str] = []
    while True:
        for button in grid.buttons:
            if button.state.title.startswith("Step"):
                seen.append(button.state.title)
                assert min(button.width(), button.height()) >= look.sizes.touch - 1
                assert grid.rect().contains(button.geometry())
        if not grid.paged or not turner(grid, "More").isEnabled():
            break
        click(turner(grid, "More"))
    assert seen == [f"Step {n}" for n in range(34)]


def test_a_press_says_which_tile_on_which_page(qtbot: QtBot, look: Style) -> None:
    grid = grid_of(qtbot, look, 60, 1200, 600)
    click(turner(grid, "More"))
    first = grid.buttons[0]
    with qtbot.waitSignal(grid.pressed, timeout=1000) as heard:
        click(first)
    assert heard.args[0] == first.state.title.lower()
    assert heard.args[0] != "step 0"


def test_before_comes_back_to_the_first_page(qtbot: QtBot, look: Style) -> None:
    grid = grid_of(qtbot, look, 60, 1200, 600)
    assert not turner(grid, "Before").isEnabled()
    click(turner(grid, "More"))
    click(turner(grid, "Before"))
    assert grid.buttons[0].state.title == "Step 0"


def test_what_fits_on_one_page_needs_no_turning(qtbot: QtBot, look: Style) -> None:
    assert not grid_of(qtbot, look, 7, 1200, 600).paged


def test_when_tiles_go_the_page_is_one_that_exists(qtbot: QtBot, look: Style) -> None:
    grid = grid_of(qtbot, look, 60, 1200, 600)
    click(turner(grid, "More"))
    click(turner(grid, "More"))
    grid.show_tiles([Button("A", key="a")])
    assert [button.state.title for button in grid.buttons] == ["A"]
    grid.show_tiles([])
    assert grid.buttons == []
