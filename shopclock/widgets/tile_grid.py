"""Large tiles beside and below each other, a page at a time: nothing has to be swiped."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QSizePolicy, QWidget

from shopclock.widgets.button_face import ButtonState
from shopclock.widgets.grid import Room, page_grid
from shopclock.widgets.press_button import PressButton, no_time

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QResizeEvent

    from shopclock.widgets.grid import Grid
    from shopclock.widgets.look import Look

DRAWN_PX_MM = 5.94
"""Pixels per millimetre of the 10-inch tablet that sizes are drawn for."""

Tile = tuple[str, ButtonState]
"""A key, and what its tile shows."""


class TileGrid(QWidget):
    """Tiles in as many columns as fit. `pressed` carries the key and the time the finger came down.

    When there are more than fit, a row with *Before* and *More* turns the page.
    """

    pressed = Signal(str, object)

    def __init__(
        self, look: Look, now: Callable[[], object] = no_time, wish_mm: float = 60.0, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._look = look
        self._now = now
        self._wish_mm = wish_mm
        self._tiles: tuple[Tile, ...] = ()
        self._buttons: list[PressButton] = []
        self._first = 0
        self._before = self._turner("Before", -1)
        self._more = self._turner("More", +1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        look.changed.connect(self._arrange)

    def show_tiles(self, tiles: Sequence[Tile]) -> None:
        """Show these tiles; the page stays where it is as long as there is one."""
        if tuple(tiles) != self._tiles:
            self._tiles = tuple(tiles)
            self._arrange()

    @property
    def buttons(self) -> list[PressButton]:
        """The tiles of the page in sight."""
        return [button for button in self._buttons if button.isVisibleTo(self)]

    @property
    def paged(self) -> bool:
        """Whether there is more than one page."""
        return self._more.isVisibleTo(self)

    def minimumSizeHint(self) -> QSize:
        """Room for one tile and the row that turns pages."""
        sizes = self._look.sizes
        return QSize(sizes.touch * 2 + sizes.gap, sizes.touch * 2 + sizes.gap)

    def sizeHint(self) -> QSize:
        """Two columns and three rows."""
        sizes = self._look.sizes
        return QSize(round(2 * self._wish()) + sizes.gap, 3 * (sizes.touch + sizes.gap))

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Lay the tiles anew."""
        self._arrange()

    def _turner(self, title: str, step: int) -> PressButton:
        button = PressButton(self._look, ButtonState(title, role="raised"), bounce_ms=250, parent=self)
        button.pressed_at.connect(partial(self._turn, step))
        return button

    def _turn(self, step: int, _came_down: object) -> None:
        self._first += step * self._page(self._room(paged=True)).cells
        self._arrange()

    def _room(self, *, paged: bool) -> Room:
        sizes = self._look.sizes
        below = sizes.touch + sizes.gap if paged else 0
        least = min(self._wish() * 0.6, self.width())
        return Room(self.width(), self.height() - below, max(least, sizes.touch), sizes.touch, sizes.gap)

    def _page(self, room: Room) -> Grid:
        return page_grid(len(self._tiles), room, self._wish())

    def _wish(self) -> float:
        """The width a tile would like, px: in millimetres, and on a screen far away by the size of its text."""
        sizes = self._look.sizes
        return self._wish_mm * max(sizes.px_mm, 5.0 * sizes.unit)

    def _arrange(self) -> None:
        grid = self._page(self._room(paged=False))
        paged = grid.cells < len(self._tiles)
        if paged:
            grid = self._page(self._room(paged=True))
        last_page = (max(0, len(self._tiles) - 1) // grid.cells) * grid.cells
        self._first = min(max(0, self._first // grid.cells * grid.cells), last_page)
        self._show_page(grid)
        self._show_turners(grid, last_page, paged=paged)

    def _show_page(self, grid: Grid) -> None:
        page = self._tiles[self._first : self._first + grid.cells]
        while len(self._buttons) < len(page):
            self._add_button()
        for number, button in enumerate(self._buttons):
            button.setVisible(number < len(page))
            if number < len(page):
                left, top = grid.place(number, self._look.sizes.gap)
                button.setGeometry(int(left), int(top), int(grid.width), int(grid.height))
                button.show_state(page[number][1])

    def _add_button(self) -> None:
        button = self.make_button()
        button.pressed_at.connect(partial(self._pressed, len(self._buttons)))
        self._buttons.append(button)

    def make_button(self) -> PressButton:
        """A tile, without its text; grids of other tiles override this."""
        return PressButton(self._look, ButtonState(""), self._now, parent=self)

    def _pressed(self, number: int, came_down: object) -> None:
        self.pressed.emit(self._tiles[self._first + number][0], came_down)

    def _show_turners(self, grid: Grid, last_page: int, *, paged: bool) -> None:
        sizes = self._look.sizes
        wide = (self.width() - sizes.gap) // 2
        top = self.height() - sizes.touch
        pages = last_page // grid.cells + 1
        page = self._first // grid.cells + 1
        for button, left, usable in ((self._before, 0, page > 1), (self._more, wide + sizes.gap, page < pages)):
            button.setVisible(paged)
            button.setGeometry(left, top, wide, sizes.touch)
            detail = f"page {page} of {pages}" if button is self._more else ""
            button.show_state(ButtonState(button.state.title, detail, role="raised", enabled=usable))
