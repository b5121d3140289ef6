"""The middle of a page: tiles, tiles with routes, a bar to measure, or waiting for a key."""

from __future__ import annotations

from dataclasses import replace
from math import ceil
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeySequence, QPainter
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from shopclock.screens.paged.route_tile import RouteTile
from shopclock.views.grid import even_grid
from shopclock.views.page import Body
from shopclock.widgets.accessible import Accessible, Role
from shopclock.widgets.day_line import DayLine
from shopclock.widgets.drawing import PaintedGround
from shopclock.widgets.labels import Label
from shopclock.widgets.tile_grid import TileGrid

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QKeyEvent, QPaintEvent, QResizeEvent

    from shopclock.views.button import Button
    from shopclock.views.grid import Grid, Room
    from shopclock.views.page import PageState
    from shopclock.widgets.press_button import PressButton
    from shopclock.widgets.style import Style

WISH_MM = {
    Body.TILES: 66.0,
    Body.SMALL: 26.0,
    Body.PIECES: 40.0,
    Body.ROUTES: 130.0,
    Body.RULER: 40.0,
    Body.TRIOS: 44.0,
    Body.DAY: 100.0,
    Body.RULE: 40.0,
    Body.RULED: 400.0,
}
LEAST = dict.fromkeys((Body.TILES, Body.PIECES, Body.SMALL, Body.ROUTES, Body.TRIOS), 0.68) | {
    Body.DAY: 0.65,
    Body.RULE: 0.4,
    Body.RULED: 0.6,
}
"""How far tiles may shrink that are not pressed while working, as a share of a touch target."""
LOUDER = 1.4
"""An open batch has so many times the height of a closed one."""
MODIFIERS = {Qt.Key.Key_Shift, Qt.Key.Key_Control, Qt.Key.Key_Alt, Qt.Key.Key_Meta, Qt.Key.Key_AltGr}


class TileBody(TileGrid):
    """Tiles, written from the left where they are wide."""

    def show_page(self, state: PageState) -> None:
        """Show the tiles of a page."""
        tiled = state.body in (Body.TILES, Body.ROUTES, Body.TRIOS, Body.DAY, Body.RULED)
        self.show_tiles([replace(tile, tile=tiled) for tile in state.tiles])


class RouteBody(TileBody):
    """Tiles that have room for an outline: one with a route takes the whole width, the others stand side by side."""

    def make_button(self) -> PressButton:
        """A tile for a batch."""
        return RouteTile(self._look, self._now, self)

    def _arrange(self) -> None:
        """Lay out rows, page after page; `_first` is the page, and a page a cell of the grid that its turners know."""
        room = self._room(paged=False, share=self._least)
        rows = self._in_rows(max(1, min(room.columns(), round(room.width / self._wish()))))
        pages = self._in_pages(rows, room)
        paged = len(pages) > 1
        if paged:
            room = self._room(paged=True, share=self._least)
            pages = self._in_pages(rows, room)
        self._first = min(self._first, len(pages) - 1)
        gap, columns = room.gap, max((len(row) for row in rows), default=1)
        page, top = pages[self._first], 0.0
        stretched = min(self._stretch(one, room) for one in pages[: max(1, len(pages) - 1)])
        placed: list[tuple[Button, QRect]] = []
        for row in page:
            wide = 1 if row[0].route is not None else columns
            cell, high = (room.width - (wide - 1) * gap) / wide, self._high(row, room) * stretched
            for place, tile in enumerate(row):
                placed.append((tile, QRect(round(place * (cell + gap)), int(top), int(cell), int(high))))
            top += high + gap
        self._show_at(placed)
        self._show_turners(even_grid(1, 1, room), len(pages) - 1, paged=paged)

    def _stretch(self, page: list[list[Button]], room: Room) -> float:
        """Factor by which the rows of a page can grow until it is full."""
        high = sum(self._high(row, room) for row in page)
        return min(room.most, (room.height - room.gap * (len(page) - 1)) / high) if high else 1.0

    def _high(self, row: list[Button], room: Room) -> float:
        """The least height of a row, px; those with a route are no higher where they would then not all be in sight."""
        if row[0].route is None:
            return room.cell_height
        n = sum(tile.route is not None for tile in self._tiles)
        whole = n * (LOUDER * room.cell_height + room.gap) - room.gap
        return room.cell_height * (LOUDER if whole <= room.height else 1.0)

    def _in_pages(self, rows: list[list[Button]], room: Room) -> list[list[list[Button]]]:
        """Rows in pages that are full; there is always one."""
        pages: list[list[list[Button]]] = [[]]
        left = room.height
        for row in rows:
            if pages[-1] and self._high(row, room) > left:
                pages.append([])
                left = room.height
            pages[-1].append(row)
            left -= self._high(row, room) + room.gap
        return pages

    def _in_rows(self, columns: int) -> list[list[Button]]:
        """Each tile with a route by itself, then the others, so many beside each other."""
        others = [tile for tile in self._tiles if tile.route is None]
        wide = [[tile] for tile in self._tiles if tile.route is not None]
        return wide + [others[i : i + columns] for i in range(0, len(others), columns)]

    def _turn(self, step: int, _came_down: object) -> None:
        """Turn a page."""
        self._first = max(0, self._first + step)
        self._arrange()


class TrioBody(TileBody):
    """Tiles in threes: less, what it is, more; two threes beside each other where there is little height."""

    def _whole(self) -> Grid:
        for columns in (3, 6):
            rows = -(-len(self._tiles) // columns)
            room = self._room(paged=False, share=self._least)
            if rows <= room.rows() and columns <= room.columns():
                return even_grid(columns, max(1, rows), room)
        return super()._whole()


class DayBody(Accessible, QWidget):
    """The line of a day over its list: thinner where there is little room, none where the list needs all of it."""

    pressed = Signal(object, object)

    def __init__(self, look: Style, now: Callable[[], object]) -> None:
        super().__init__()
        self._look = look
        self._has_day = False
        self._rows = 1
        self.line = DayLine(look)
        self._tiles = TileBody(look, now, WISH_MM[Body.DAY], LEAST[Body.DAY])
        self._tiles.pressed.connect(self.pressed)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(look.sizes.gap)
        column.addWidget(self.line)
        column.addWidget(self._tiles, 1)

    def show_page(self, state: PageState) -> None:
        """Show line and list."""
        self._has_day = state.day is not None
        self._rows = -(-len(state.tiles) // 2)
        if state.day is not None:
            self.line.show_state(state.day)
        self._tiles.show_page(state)
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The list needs two rows, as far as it has them, before there is a line."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        sizes = self._look.sizes
        row = ceil(LEAST[Body.DAY] * sizes.touch) + sizes.gap
        left = self.height() - min(2, self._rows) * row
        self.line.setVisible(self._has_day and left >= self.line.minimumSizeHint().height())
        self.line.setFixedHeight(max(1, min(left, self.line.sizeHint().height())))
        if (column := self.layout()) is not None:
            column.activate()


class MeasuringBar(PaintedGround):
    """A bar as long as it is told, to be held against a card."""

    def __init__(self, look: Style) -> None:
        super().__init__(look)
        self._long_px = 0.0
        self.setAccessibleName("Bar to be made as long as a bank card")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def reader_role(self) -> Role:
        """A picture."""
        return Role.Graphic

    def set_length(self, long_px: float) -> None:
        """Draw it so long."""
        self._long_px = long_px
        self.update()

    def sizeHint(self) -> QSize:
        """Height of a button."""
        return QSize(1, self._look.sizes.touch)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw it in the middle."""
        left = (self.width() - self._long_px) / 2
        with QPainter(self) as p:
            p.fillRect(QRectF(left, 0, self._long_px, self.height()), QColor(self.surface().text))


class RulerBody(Accessible, QWidget):
    """The bar, and the tiles that change its length."""

    pressed = Signal(object, object)

    def __init__(self, look: Style, now: Callable[[], object]) -> None:
        super().__init__()
        self._bar = MeasuringBar(look)
        self._tiles = TileBody(look, now, WISH_MM[Body.RULER])
        self._tiles.pressed.connect(self.pressed)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(look.sizes.gap * 2)
        column.addWidget(self._bar)
        column.addWidget(self._tiles, 1)

    def show_page(self, state: PageState) -> None:
        """Show bar and tiles."""
        self._bar.set_length(state.bar_px or 0.0)
        self._tiles.show_page(state)


class KeyBody(Accessible, QWidget):
    """Waits for one key; `heard` carries its name. A held key does not repeat."""

    heard = Signal(str)

    def __init__(self, look: Style) -> None:
        super().__init__()
        self._say = Label(look, "stage", "Press the key or the pedal now")
        self._say.set_align(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignVCenter)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        column = QVBoxLayout(self)
        column.addWidget(self._say)

    def show_page(self, _state: PageState) -> None:
        """Have the keyboard."""
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def focusNextPrevChild(self, _next_one: bool) -> bool:  # Qt's own signature
        """Tab is a key like any other here."""
        return False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape goes on to the screen, which goes back; other keys are heard."""
        if event.key() == Qt.Key.Key_Escape:
            super().keyPressEvent(event)
        elif not event.isAutoRepeat() and event.key() not in MODIFIERS and event.key():
            self.heard.emit(key_name(event))


def key_name(event: QKeyEvent) -> str:
    """The name of a pressed key as the record keeps it, the same on every system: F5, Space, A."""
    return QKeySequence(event.key()).toString(QKeySequence.SequenceFormat.PortableText)
