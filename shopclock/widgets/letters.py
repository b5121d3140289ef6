"""The letters of a batch as tiles: which pieces are in hand, done, lost."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, QSizeF
from PySide6.QtWidgets import QSizePolicy, QWidget

from shopclock.views.button import Button
from shopclock.views.grid import Room, whole_grid
from shopclock.views.letter import Letter
from shopclock.widgets.button_face import draw_face, place
from shopclock.widgets.drawing import draw_plate
from shopclock.widgets.press_button import KeyButton

if TYPE_CHECKING:
    from PySide6.QtCore import QRectF
    from PySide6.QtGui import QPainter, QResizeEvent

    from shopclock.views.button import Now, Send
    from shopclock.widgets.button_face import PlacedText
    from shopclock.widgets.style import Style
    from shopclock.widgets.theme import Surface


class LetterTile(KeyButton):
    """One letter: filled light when done, outlined thick in hand, broken outline when lost."""

    def __init__(self, look: Style, send: Send, now: Now, parent: QWidget) -> None:
        super().__init__(look, send, now, parent)
        self._letter = Letter("")

    def show_letter(self, letter: Letter) -> None:
        """Show this piece."""
        if letter != self._letter:
            self._letter = letter
            self.show_state(Button(letter.letter, letter.shown, key=letter.key))
            self.update()

    def apply_style(self) -> Surface:
        """Done is the plate inverted; in hand is sunk; the rest is the bare plate."""
        surface = self._look.surface(self._on)
        if self._letter.state == "done":
            surface = surface.inverted()
        elif self._letter.state == "in":
            surface = replace(surface, ground=surface.sunk)
        return surface.inverted() if self._held() else surface

    def texts(self) -> list[PlacedText]:
        """The letter stands at the same height with and without a word."""
        return place(replace(self._state, detail=self._state.detail or " "), QSizeF(self.size()), self._look)

    def draw(self, p: QPainter, rect: QRectF) -> None:
        """Draw the tile."""
        surface = self.apply_style()
        state = self._letter.state
        in_hand = state in ("in", "done")
        line = surface.text if in_hand else surface.line
        draw_plate(p, rect, surface.ground, line, width=2.5 if state == "in" else 1.2, dashed=not in_hand)
        draw_face(p, self.texts(), self._look, surface)
        self.draw_ring(p, rect, surface)


class LetterRow(QWidget):
    """All letters of a batch, in rows of tiles of at least the touch size, each at most `most` times as high.

    Without room for all of them none is there: who lays the row out has another way to the pieces then.
    """

    def __init__(self, look: Style, send: Send, now: Now, parent: QWidget | None = None, most: float = 1.2) -> None:
        super().__init__(parent)
        self._look = look
        self._send = send
        self._now = now
        self._most = most
        self._on = "ground"
        self._letters: tuple[Letter, ...] = ()
        self._tiles: list[LetterTile] = []
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        look.changed.connect(self._arrange)

    def show_letters(self, letters: tuple[Letter, ...]) -> None:
        """Show these pieces; nothing is drawn again when they are the same."""
        if letters == self._letters:
            return
        more = len(letters) != len(self._letters)
        self._letters = letters
        while len(self._tiles) < len(letters):
            tile = LetterTile(self._look, self._send, self._now, self)
            tile.set_surface(self._on)
            self._tiles.append(tile)
        for tile, letter in zip(self._tiles, letters, strict=False):
            tile.show_letter(letter)
        if more:
            self._arrange()

    def set_surface(self, role: str) -> None:
        """The role of the plate this stands on."""
        self._on = role
        for tile in self._tiles:
            tile.set_surface(role)

    @property
    def collapsed(self) -> bool:
        """True if there is no room for the letters."""
        return bool(self._letters) and not self._tiles[0].isVisibleTo(self)

    @property
    def tiles(self) -> list[LetterTile]:
        """The tiles in use, one a letter."""
        return self._tiles[: len(self._letters)]

    def minimumSizeHint(self) -> QSize:
        """Room for one letter."""
        return QSize(self._look.sizes.touch, self._look.sizes.touch)

    def sizeHint(self) -> QSize:
        """One row of letters."""
        sizes = self._look.sizes
        return QSize(max(1, len(self._letters)) * (sizes.touch + sizes.gap), sizes.touch)

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Lay the letters anew."""
        self._arrange()

    def _arrange(self) -> None:
        touch, gap = self._look.sizes.touch, self._look.sizes.gap
        room = Room(self.width(), self.height(), touch, touch, gap, most=self._most)
        grid = whole_grid(len(self._letters), room)
        wide = min(grid.width, touch * 1.33 * self._most) if grid else 0.0
        for number, tile in enumerate(self._tiles):
            if grid and number < len(self._letters):
                left, top = replace(grid, width=wide).place(number, gap)
                tile.setGeometry(int(left), int(top), int(wide), int(grid.height))
            tile.setVisible(grid is not None and number < len(self._letters))
