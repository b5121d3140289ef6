"""Large tiles beside and below each other, a page at a time: nothing has to be swiped."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QSize, Signal
from PySide6.QtWidgets import QSizePolicy, QWidget

from shopclock.views.button import FIRST_PAGE, LAST_PAGE, Button
from shopclock.views.grid import Room, page_grid
from shopclock.widgets.accessible import Accessible, Role
from shopclock.widgets.press_button import PressButton, even_titles, no_time

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QResizeEvent

    from shopclock.views.grid import Grid
    from shopclock.widgets.style import Style

DRAWN_PX_MM = 5.94
"""Pixels per millimetre of the 10-inch tablet that sizes are drawn for."""


class TileGrid(Accessible, QWidget):
    """Tiles in as many columns as fit. `pressed` carries the key of the tile and the time the finger came down.

    When there are more than fit, a row with *Before* and *More* turns the page. `least` is the share of a touch
    target to which tiles may shrink before that, for what is not pressed while working.
    """

    pressed = Signal(object, object)

    def __init__(
        self,
        look: Style,
        now: Callable[[], object] = no_time,
        wish_mm: float = 60.0,
        least: float = 1.0,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._look = look
        self._now = now
        self._wish_mm = wish_mm
        self._least = least
        self._tiles: tuple[Button, ...] = ()
        self._buttons: list[PressButton] = []
        self._first = 0
        self._before = self._turner("Before", -1)
        self._more = self._turner("More", +1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        look.changed.connect(self._arrange)

    def show_tiles(self, tiles: Sequence[Button]) -> None:
        """Show these tiles; the page stays where it is as long as there is one."""
        if tuple(tiles) != self._tiles:
            self._tiles = tuple(tiles)
            self._arrange()

    def reader_role(self) -> Role:
        """A list."""
        return Role.List

    @property
    def buttons(self) -> list[PressButton]:
        """The tiles of the page in sight."""
        return [button for button in self._buttons if button.isVisibleTo(self)]

    @property
    def paged(self) -> bool:
        """True if there is more than one page."""
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
        button = PressButton(self._look, Button(title, role="raised"), bounce_ms=250, parent=self)
        button.pressed_at.connect(partial(self._turn, step))
        return button

    def _turn(self, step: int, _came_down: object) -> None:
        self._first += step * self._page(self._room(paged=True, share=self._least)).cells
        self._arrange()

    def _room(self, *, paged: bool, share: float = 1.0) -> Room:
        sizes = self._look.sizes
        taken = sizes.touch + sizes.gap if paged else 0
        wide = self.width() - (taken if self._low() else 0)
        high = self.height() - (0 if self._low() else taken)
        least = min(self._wish() * 0.6, wide)
        return Room(wide, high, max(least, sizes.touch * share), sizes.touch * share, sizes.gap)

    def _low(self) -> bool:
        """True if a row for turning pages would take too much of the height: then it is a column at the right."""
        return self.height() < 4 * self._look.sizes.touch

    def _page(self, room: Room) -> Grid:
        return page_grid(len(self._tiles), room, self._wish())

    def _whole(self) -> Grid:
        """The grid without turning pages: of full touch targets, or of the least where that lets all stand."""
        grid = self._page(self._room(paged=False))
        if grid.cells >= len(self._tiles) or self._least == 1.0:
            return grid
        return self._page(self._room(paged=False, share=self._least))

    def _wish(self) -> float:
        """The width a tile would like, px: in millimetres, and on a screen far away by the size of its text."""
        sizes = self._look.sizes
        return self._wish_mm * max(sizes.px_mm, 5.0 * sizes.unit)

    def _arrange(self) -> None:
        grid = self._whole()
        paged = grid.cells < len(self._tiles)
        if paged:
            grid = self._page(self._room(paged=True, share=self._least))
        last_page = (max(0, len(self._tiles) - 1) // grid.cells) * grid.cells
        self._first = min(max(0, self._first // grid.cells * grid.cells), last_page)
        self._show_page(grid)
        self._show_turners(grid, last_page, paged=paged)

    def _show_page(self, grid: Grid) -> None:
        page = self._tiles[self._first : self._first + grid.cells]
        corners = (grid.place(number, self._look.sizes.gap) for number in range(len(page)))
        size = int(grid.width), int(grid.height)
        self._show_at([(tile, QRect(int(x), int(y), *size)) for tile, (x, y) in zip(page, corners, strict=True)])

    def _show_at(self, placed: Sequence[tuple[Button, QRect]]) -> None:
        """Show these tiles, each in its place, and no others."""
        while len(self._buttons) < len(placed):
            self._buttons.append(self.make_button())
            self._buttons[-1].key_pressed.connect(self.pressed)
        for number, button in enumerate(self._buttons):
            button.setVisible(number < len(placed))
            if number < len(placed):
                tile, place = placed[number]
                button.setGeometry(place)
                button.show_state(tile)
        even_titles(self._buttons[: len(placed)])

    def make_button(self) -> PressButton:
        """A tile, without its text; grids of other tiles override this."""
        return PressButton(self._look, Button(""), self._now, parent=self)

    def _show_turners(self, grid: Grid, last_page: int, *, paged: bool) -> None:
        pages = last_page // grid.cells + 1
        page = self._first // grid.cells + 1
        before, more = self._turner_places()
        for button, place, usable in ((self._before, before, page > 1), (self._more, more, page < pages)):
            button.setVisible(paged)
            button.setGeometry(place)
            detail = f"page {page} of {pages}" if button is self._more else ""
            why = "" if usable else LAST_PAGE if button is self._more else FIRST_PAGE
            button.show_state(Button(button.state.title, detail, role="raised", why_not=why))

    def _turner_places(self) -> tuple[QRect, QRect]:
        """Place of *Before* and *More*: side by side at the lower right, or one above the other at the right."""
        touch, gap = self._look.sizes.touch, self._look.sizes.gap
        if self._low():
            left, high = self.width() - touch, (self.height() - gap) // 2
            return QRect(left, 0, touch, high), QRect(left, high + gap, touch, high)
        top, wide = self.height() - touch, min(2 * touch, (self.width() - gap) // 2)
        right = self.width() - wide
        return QRect(right - gap - wide, top, wide, touch), QRect(right, top, wide, touch)
