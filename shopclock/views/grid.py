"""Grid of buttons beside and below each other: plain Python."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

MOST = 1.6
"""A cell grows to so many times its least height."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Columns and rows, and the size of one cell in px."""

    columns: int
    rows: int
    width: float
    height: float

    @property
    def cells(self) -> int:
        """Number of it holds."""
        return self.columns * self.rows

    def place(self, index: int, gap: float) -> tuple[float, float]:
        """Left and top of a cell, px."""
        row, column = divmod(index, self.columns)
        return column * (self.width + gap), row * (self.height + gap)


@dataclass(frozen=True, slots=True)
class Room:
    """The room for a grid, and the least cell, px. A cell grows to `most` times the least at most."""

    width: float
    height: float
    cell_width: float
    cell_height: float
    gap: float
    most: float = MOST

    def columns(self) -> int:
        """Number of cells fit beside each other."""
        return int((self.width + self.gap) / (self.cell_width + self.gap) + 1e-9)

    def rows(self) -> int:
        """Number of cells fit below each other."""
        return int((self.height + self.gap) / (self.cell_height + self.gap) + 1e-9)


def whole_grid(count: int, room: Room) -> Grid | None:
    """The grid that shows all `count` cells in the fewest, evenly filled rows; None when there is no room for them."""
    most = room.columns()
    if count == 0 or most == 0:
        return None
    rows = ceil(count / most)
    if rows > room.rows():
        return None
    return even_grid(ceil(count / rows), rows, room)


WORTH = 0.75
"""Cells whose shorter side is less than this share of what more rows would make it are worth these rows."""


def largest_grid(count: int, room: Room) -> Grid | None:
    """The grid that shows all `count` cells in the fewest rows, or in more where that makes them much larger."""
    fewest = whole_grid(count, room)
    if fewest is None:
        return None
    grids = [even_grid(ceil(count / rows), rows, room) for rows in range(fewest.rows, room.rows() + 1)]
    largest = max(grids, key=_shorter)
    return largest if _shorter(fewest) < WORTH * _shorter(largest) else fewest


def _shorter(grid: Grid) -> float:
    """Return the shorter side of a cell, px."""
    return min(grid.width, grid.height)


def page_grid(count: int, room: Room, wish_width: float) -> Grid:
    """The grid of a page of tiles about `wish_width` px wide: all of them if they fit, otherwise as many as fit.

    Tiles that all fit fill their rows evenly.
    """
    most = max(1, room.columns())
    rows = max(1, room.rows())
    needed = ceil(max(1, count) / rows)
    columns = min(most, max(needed, round(room.width / wish_width), 1))
    used = min(rows, max(1, ceil(count / columns)))
    if count and columns * used >= count:
        columns = ceil(count / used)
    return even_grid(columns, used, room)


def even_grid(columns: int, rows: int, room: Room) -> Grid:
    """So many columns and rows that share the room evenly; no cell is higher than it may be."""
    width = (room.width - room.gap * (columns - 1)) / columns
    height = (room.height - room.gap * (rows - 1)) / rows
    return Grid(columns, rows, width, min(height, room.cell_height * room.most))
