"""The two pages behind the Bench: the whole route, and the pieces."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from shopclock.screens.bench.key_button import KeyButton, moment_of, state_of
from shopclock.screens.bench.plate_view import GROUP_BUTTONS, letter_of
from shopclock.widgets.labels import Label
from shopclock.widgets.letters import LetterRow
from shopclock.widgets.tile_grid import TileGrid

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.bench.key_button import Now, Press
    from shopclock.screens.bench.state import BenchButton, PlateState, RoutePage
    from shopclock.widgets.style import Style


class BenchSubpage(QWidget):
    """A page with a heading, something large, and a row of buttons under it."""

    def __init__(self, look: Style, press: Press, now: Now, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self.press = press
        self._now = now
        self.heading = Label(look, "heading", parent=self)
        self.row: list[KeyButton] = []
        self.column = QVBoxLayout(self)
        self._below = QHBoxLayout()

    def lay_out(self, content: QWidget) -> None:
        """Put the content between the heading and the row."""
        self.column.addWidget(self.heading)
        self.column.addWidget(content, 1)
        self.column.addLayout(self._below)

    def show_row(self, buttons: Sequence[BenchButton]) -> None:
        """Show these buttons along the bottom."""
        sizes = self._look.sizes
        self.column.setContentsMargins(sizes.margin, 0, sizes.margin, sizes.margin)
        for spaced in (self.column, self._below):
            spaced.setSpacing(sizes.gap)
        while len(self.row) < len(buttons):
            button = KeyButton(self._look, self.press, self._now, self)
            button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
            self._below.addWidget(button)
            self.row.append(button)
        for button, shown in zip(self.row, buttons, strict=True):
            button.show_button(shown)
            button.setFixedHeight(sizes.touch)


class RouteSheet(BenchSubpage):
    """Every step as a large tile."""

    def __init__(self, look: Style, press: Press, now: Now, parent: QWidget) -> None:
        super().__init__(look, press, now, parent)
        self.grid = TileGrid(look, now, wish_mm=42.0)
        self.grid.pressed.connect(self._pressed)
        self.lay_out(self.grid)

    def show_page(self, page: RoutePage, back: BenchButton) -> None:
        """Show this page."""
        self.heading.set_text(page.heading)
        self.show_row((back, page.both))
        self.grid.show_tiles([state_of(tile) for tile in page.tiles])

    def _pressed(self, key: str, came_down: object) -> None:
        self.press(key, moment_of(came_down))


class PieceSheet(BenchSubpage):
    """Every piece as a large letter, and all, none, the others."""

    def __init__(self, look: Style, press: Press, now: Now, parent: QWidget) -> None:
        super().__init__(look, press, now, parent)
        self.letters = LetterRow(look, now, most=2.0)
        self.letters.letter_pressed.connect(self._letter)
        self.lay_out(self.letters)

    def show_page(self, plate: PlateState, back: BenchButton) -> None:
        """Show the pieces of this plate; what it says now stands above them."""
        said = plate.line if plate.urgent else (plate.pieces.detail if plate.pieces is not None else "")
        self.heading.set_text(f"{plate.title}  ·  {said}" if said else plate.title)
        self.show_row((back, *GROUP_BUTTONS))
        self.letters.show_letters(tuple(letter_of(item) for item in plate.letters), "")

    def _letter(self, letter: str, came_down: object) -> None:
        self.press(f"letter:{letter}", moment_of(came_down))
