"""The letters of a batch as tiles: which pieces are in hand, done, lost."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QSize, Signal
from PySide6.QtGui import QEventPoint
from PySide6.QtWidgets import QSizePolicy, QWidget

from shopclock.views.button import Button
from shopclock.views.grid import Room, largest_grid
from shopclock.views.letter import Letter
from shopclock.widgets.accessible import Accessible, Role
from shopclock.widgets.button_face import draw_face
from shopclock.widgets.drawing import draw_plate
from shopclock.widgets.press_button import KeyButton

if TYPE_CHECKING:
    from PySide6.QtCore import QRectF
    from PySide6.QtGui import QPainter, QResizeEvent

    from shopclock.views.button import Now, Send
    from shopclock.widgets.button_face import PlacedText
    from shopclock.widgets.style import Style
    from shopclock.widgets.theme import Surface


class FingersDown:
    """Fingers on the letters of a row. More than one at once are a sleeve: none counts until all are lifted."""

    def __init__(self) -> None:
        self._down: set[tuple[int, int]] = set()
        self._sleeve = False

    def down(self, tile: QWidget, finger: int) -> None:
        """Take note of a finger that came down on a tile."""
        self._down.add((id(tile), finger))
        self._sleeve = self._sleeve or len(self._down) > 1

    def up(self, tile: QWidget, finger: int) -> bool:
        """Take note that it was lifted; True when with it a sleeve has gone."""
        self._down.discard((id(tile), finger))
        gone = self._sleeve and not self._down
        self._sleeve = self._sleeve and bool(self._down)
        return gone

    def forget(self, tile: QWidget) -> bool:
        """Forget the fingers of a tile that are down no more though nobody lifted them; True as above."""
        gone = False
        for of, finger in list(self._down):
            if of == id(tile):
                gone = self.up(tile, finger) or gone
        return gone

    @property
    def is_sleeve(self) -> bool:
        """True while what lies on the letters can't be a finger."""
        return self._sleeve


class LetterTile(KeyButton):
    """One letter: filled light when done, outlined thick in hand, broken outline when lost."""

    sleeve_gone = Signal()

    def __init__(self, look: Style, send: Send, now: Now, fingers: FingersDown, parent: QWidget) -> None:
        super().__init__(look, send, now, parent)
        self._letter = Letter("")
        self._all_fingers = fingers

    def event(self, event: QEvent) -> bool:
        """Let go of fingers that were taken away by the system."""
        if event.type() in (QEvent.Type.TouchBegin, QEvent.Type.TouchCancel) and self._all_fingers.forget(self):
            self.sleeve_gone.emit()
        return super().event(event)

    def finger(self, point: QEventPoint) -> None:
        """Take a finger as any button does, unless it is one of several: those press nothing."""
        gone = False
        if point.state() == QEventPoint.State.Pressed:
            self._all_fingers.down(self, point.id())
        sleeve = self._all_fingers.is_sleeve
        if point.state() == QEventPoint.State.Released:
            gone = self._all_fingers.up(self, point.id())
        if sleeve:
            self.let_go(point.id())
        else:
            super().finger(point)
        if gone:
            self.sleeve_gone.emit()

    def show_letter(self, letter: Letter) -> None:
        """Show this piece."""
        if letter != self._letter:
            self._letter = letter
            self.show_state(Button(letter.letter, letter.shown, key=letter.key))
            self.setAccessibleName(letter.spoken)
            self.update()

    def apply_style(self) -> Surface:
        """Done is the plate inverted; in hand is sunk; the rest is the bare plate."""
        surface = self._look.surface(self._on)
        if self._letter.state == "done":
            surface = surface.inverted()
        elif self._letter.state == "in":
            surface = replace(surface, ground=surface.sunk)
        return surface.inverted() if self._held() else surface

    def place_texts(self, state: Button) -> list[PlacedText]:
        """The letter stands at the same height with and without a word, and with a shorter one where that is needed."""
        placed = super().place_texts(replace(state, detail=state.detail or " "))
        if self._letter.brief and any(one.text.cut for one in placed):
            return super().place_texts(replace(state, detail=self._letter.brief))
        return placed

    def draw(self, p: QPainter, rect: QRectF) -> None:
        """Draw the tile."""
        surface = self.apply_style()
        state = self._letter.state
        in_hand = state in ("in", "done")
        line = surface.text if in_hand else surface.line
        draw_plate(p, rect, surface.ground, line, width=2.5 if state == "in" else 1.2, dashed=not in_hand)
        draw_face(p, self.texts(), self._look, surface)
        self.draw_ring(p, rect, surface)


class LetterRow(Accessible, QWidget):
    """All letters of a batch, in rows of tiles of at least the touch size, each at most `most` times as high.

    Without room for all of them none is there: who lays the row out has another way to the pieces then. `sleeve` says
    that several were down at once, and that none of them was taken.
    """

    sleeve = Signal()

    def __init__(self, look: Style, send: Send, now: Now, parent: QWidget | None = None, most: float = 1.2) -> None:
        super().__init__(parent)
        self._look = look
        self._send = send
        self._now = now
        self._most = most
        self._on = "ground"
        self._letters: tuple[Letter, ...] = ()
        self._tiles: list[LetterTile] = []
        self._fingers = FingersDown()
        self.setAccessibleName("Pieces")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        look.changed.connect(self._arrange)

    def show_letters(self, letters: tuple[Letter, ...]) -> None:
        """Show these pieces; nothing is drawn again when they are the same."""
        if letters == self._letters:
            return
        more = len(letters) != len(self._letters)
        self._letters = letters
        while len(self._tiles) < len(letters):
            tile = LetterTile(self._look, self._send, self._now, self._fingers, self)
            tile.sleeve_gone.connect(self.sleeve)
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

    def reader_role(self) -> Role:
        """A list."""
        return Role.List

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
        grid = largest_grid(len(self._letters), room)
        wide = min(grid.width, touch * 1.33 * self._most) if grid else 0.0
        for number, tile in enumerate(self._tiles):
            if grid and number < len(self._letters):
                left, top = replace(grid, width=wide).place(number, gap)
                tile.setGeometry(int(left), int(top), int(wide), int(grid.height))
            tile.setVisible(grid is not None and number < len(self._letters))
