"""The two pages behind the Bench: the whole route, and the pieces."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from shopclock.screens.bench.plate_view import GROUP_BUTTONS
from shopclock.screens.bench.state import Verb
from shopclock.views.button import Button, Press
from shopclock.widgets.labels import Label
from shopclock.widgets.letters import LetterRow
from shopclock.widgets.press_button import KeyButton
from shopclock.widgets.tile_grid import TileGrid

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.bench.state import PlateState, RoutePage
    from shopclock.views.button import Now, Send
    from shopclock.widgets.style import Style


IN_HAND = Button("In hand", "who is at it", role="raised", key=Press(Verb.PIECES_PAGE))


class BenchSubpage(QWidget):
    """A page with a heading, something large, and a row of buttons under it."""

    def __init__(self, look: Style, send: Send, now: Now, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self.send = send
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

    def show_row(self, buttons: Sequence[Button]) -> None:
        """Show these buttons along the bottom."""
        sizes = self._look.sizes
        self.column.setContentsMargins(sizes.margin, 0, sizes.margin, sizes.margin)
        for spaced in (self.column, self._below):
            spaced.setSpacing(sizes.gap)
        while len(self.row) < len(buttons):
            button = KeyButton(self._look, self.send, self._now, self)
            button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
            self._below.addWidget(button)
            self.row.append(button)
        for button, shown in zip(self.row, buttons, strict=False):
            button.show_state(shown)
            button.setFixedHeight(sizes.touch)
        for number, button in enumerate(self.row):
            button.setVisible(number < len(buttons))


class RouteSheet(BenchSubpage):
    """Every step as a large tile."""

    def __init__(self, look: Style, send: Send, now: Now, parent: QWidget) -> None:
        super().__init__(look, send, now, parent)
        self.grid = TileGrid(look, now, wish_mm=42.0)
        self.grid.pressed.connect(send)
        self.lay_out(self.grid)

    def show_page(self, page: RoutePage, back: Button) -> None:
        """Show this page."""
        self.heading.set_text(page.heading)
        self.show_row((back, page.both))
        self.grid.show_tiles(page.tiles)


class PieceSheet(BenchSubpage):
    """Every piece as a large letter, and all, none, the others; or the letters as they would stand on the plate."""

    def __init__(self, look: Style, send: Send, now: Now, parent: QWidget) -> None:
        super().__init__(look, send, now, parent)
        self.letters = LetterRow(look, send, now, self, most=2.0)
        self.letters.sleeve.connect(lambda: send(Press(Verb.SLEEVE), now()))
        self.lay_out(self.letters)

    def show_page(self, plate: PlateState, back: Button, *, in_stead: bool) -> None:
        """Show the pieces of this plate; what it says now stands above them.

        `in_stead`: its letters have no room on it; from here is a way to who is in hand.
        """
        said = plate.line if plate.urgent else (plate.pieces.detail if plate.pieces is not None else "")
        self.heading.set_text(f"{plate.title}  ·  {said}" if said else plate.title)
        marks = in_stead and not plate.choosing
        self.show_row((back, IN_HAND) if marks else (back, *GROUP_BUTTONS))
        self.letters.show_letters(plate.letters if marks else plate.in_hand)
