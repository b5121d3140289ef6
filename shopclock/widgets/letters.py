"""The letters of a batch as tiles: which pieces are in hand, done, lost."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, QSizeF, Signal
from PySide6.QtWidgets import QSizePolicy, QWidget

from shopclock.views.button import Button
from shopclock.views.grid import Room, whole_grid
from shopclock.widgets.button_face import draw_face, place
from shopclock.widgets.drawing import draw_plate
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtCore import QRectF
    from PySide6.QtGui import QPainter, QResizeEvent

    from shopclock.widgets.button_face import PlacedText
    from shopclock.widgets.style import Style
    from shopclock.widgets.theme import Surface

WORDS = {"in": "", "out": "out", "done": "done", "lost": "lost", "away": "waits", "aside": "aside"}
"""The states a letter can have, and the word under it."""


@dataclass(frozen=True, slots=True)
class Letter:
    """A piece: its letter, its state (a key of WORDS), and its own word where the usual one is not right."""

    letter: str
    state: str = "in"
    word: str | None = None

    @property
    def shown(self) -> str:
        """The word under the letter."""
        return WORDS[self.state] if self.word is None else self.word


class LetterTile(PressButton):
    """One letter: filled light when done, outlined thick in hand, broken outline when lost."""

    def __init__(self, look: Style, now: Callable[[], object], parent: QWidget) -> None:
        super().__init__(look, Button(""), now, parent=parent)
        self._letter = Letter("")

    @property
    def letter(self) -> str:
        """The letter it shows."""
        return self._letter.letter

    def show_letter(self, letter: Letter) -> None:
        """Show this piece."""
        if letter != self._letter:
            self._letter = letter
            self.show_state(Button(letter.letter, letter.shown))
            self.update()

    def apply_style(self) -> Surface:
        """Done is the plate inverted; in hand is sunk; the rest is the bare plate."""
        base = self._look.surface(self._on)
        filled = {"done": base.inverted(), "in": replace(base, ground=base.sunk)}
        surface = filled.get(self._letter.state, base)
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
    """All letters of a batch, in rows of tiles of at least the touch size; one button when there is no room.

    A tile is at most `most` times as high as a touch target.

    `letter_pressed` carries the letter and the time the finger came down; `pieces_pressed` the time alone.
    """

    letter_pressed = Signal(str, object)
    pieces_pressed = Signal(object)

    def __init__(
        self, look: Style, now: Callable[[], object], parent: QWidget | None = None, most: float = 1.2
    ) -> None:
        super().__init__(parent)
        self._look = look
        self._now = now
        self._most = most
        self._on = "ground"
        self._letters: tuple[Letter, ...] = ()
        self._tiles: list[LetterTile] = []
        self._all = PressButton(look, Button(""), now, parent=self)
        self._all.pressed_at.connect(self.pieces_pressed)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        look.changed.connect(self._arrange)

    def show_letters(self, letters: tuple[Letter, ...], summary: str) -> None:
        """Show these pieces; `summary` ("Pieces: 6 of 7") is the one button's text when there is no room."""
        self._all.show_state(Button(summary))
        if letters != self._letters:
            self._letters = letters
            self._fill()
            self._arrange()

    def set_surface(self, role: str) -> None:
        """The role of the plate this stands on."""
        self._on = role
        for button in (self._all, *self._tiles):
            button.set_surface(role)

    @property
    def collapsed(self) -> bool:
        """Whether the letters are behind one button."""
        return self._all.isVisibleTo(self)

    @property
    def tiles(self) -> list[LetterTile]:
        """The tiles in use, one a letter."""
        return self._tiles[: len(self._letters)]

    def wanted_height(self, width: int) -> int:
        """How high it must be to show all letters in this width, px."""
        grid = whole_grid(len(self._letters), self._room(width, 1e6))
        rows = grid.rows if grid else 1
        return rows * self._look.sizes.touch + (rows - 1) * self._look.sizes.gap

    def minimumSizeHint(self) -> QSize:
        """Room for the one button."""
        return QSize(self._look.sizes.touch, self._look.sizes.touch)

    def sizeHint(self) -> QSize:
        """One row of letters."""
        sizes = self._look.sizes
        return QSize(max(1, len(self._letters)) * (sizes.touch + sizes.gap), sizes.touch)

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Lay the letters anew."""
        self._arrange()

    def _fill(self) -> None:
        while len(self._tiles) < len(self._letters):
            self._add_tile()
        for tile, letter in zip(self._tiles, self._letters, strict=False):
            tile.show_letter(letter)

    def _add_tile(self) -> None:
        tile = LetterTile(self._look, self._now, self)
        tile.set_surface(self._on)
        tile.pressed_at.connect(partial(self._pressed, tile))
        self._tiles.append(tile)

    def _pressed(self, tile: LetterTile, came_down: object) -> None:
        self.letter_pressed.emit(tile.letter, came_down)

    def _room(self, width: float, height: float) -> Room:
        sizes = self._look.sizes
        return Room(width, height, sizes.touch, sizes.touch, sizes.gap, most=self._most)

    def _arrange(self) -> None:
        grid = whole_grid(len(self._letters), self._room(self.width(), self.height()))
        self._all.setVisible(grid is None and bool(self._letters))
        self._all.setGeometry(0, 0, self.width(), min(self.height(), round(self._look.sizes.touch * 1.2)))
        gap = self._look.sizes.gap
        wide = min(grid.width, self._look.sizes.touch * 1.33 * self._most) if grid else 0.0
        for number, tile in enumerate(self._tiles):
            shown = grid is not None and number < len(self._letters)
            tile.setVisible(shown)
            if grid and shown:
                left, top = replace(grid, width=wide).place(number, gap)
                tile.setGeometry(int(left), int(top), int(wide), int(grid.height))
