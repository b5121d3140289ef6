"""The middle of a page with rules: over its tiles, or a rule on each tile."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, QSizeF, Qt, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from shopclock.screens.paged.bodies import LEAST, WISH_MM, TileBody
from shopclock.views.button import Button
from shopclock.views.grid import even_grid
from shopclock.views.page import Body
from shopclock.views.rule_picture import RulePicture
from shopclock.widgets.accessible import Accessible, Part, Role
from shopclock.widgets.button_face import place
from shopclock.widgets.drawing import PaintedGround
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.rule import RuleFace, RulePainter, RuleRoom, rule_parts

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QAccessible, QPaintEvent, QResizeEvent

    from shopclock.views.grid import Grid, Room
    from shopclock.views.page import PageState
    from shopclock.widgets.button_face import PlacedText
    from shopclock.widgets.style import Style

TEXT_SHARE = 0.34
"""The share of a tile's width that its text has beside a rule."""
LINES = 1.4
"""Height of a tile's two lines with what is around them, in heights of their letters."""
ON_TILE = tuple(RuleRoom(1, under, ticks=False) for under in (2, 1, 0))
"""What a rule on a tile shows, the roomiest first: the scale above all tiles has the ticks."""


class RuleBody(Accessible, QWidget):
    """Rules above a row of tiles. The tiles stay at the bottom, so that nothing moves when an answer comes."""

    pressed = Signal(object, object)

    def __init__(self, look: Style, now: Callable[[], object]) -> None:
        super().__init__()
        self._look = look
        self.faces: list[RuleFace] = []
        self._shown = 0
        self.tiles = TileBody(look, now, WISH_MM[Body.RULE], LEAST[Body.RULE])
        self.tiles.pressed.connect(self.pressed)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.tiles)

    def show_page(self, state: PageState) -> None:
        """Show rules and tiles."""
        while len(self.faces) < len(state.rules):
            self.faces.append(RuleFace(self._look))
            self._column.insertWidget(len(self.faces) - 1, self.faces[-1])
        self._shown = len(state.rules)
        for face, picture in zip(self.faces, state.rules, strict=False):
            face.show_picture(picture)
        self.tiles.show_page(state)
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Rules share what the tiles leave."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        """One row of tiles, as low whatever there is to say; the last rule gives way before any is too small.

        Rules share the rest by what they wish; one that would be a heading alone leaves what it doesn't need.
        """
        sizes, faces = self._look.sizes, self.faces[: self._shown]
        low = max(sizes.tab, round(LINES * (sizes.body_text + sizes.small_text)))
        while faces and self.height() < low + sum(face.minimumSizeHint().height() + sizes.gap for face in faces):
            faces.pop()
        heights = self._shared(faces, self.height() - low - len(faces) * sizes.gap)
        self._column.setSpacing(sizes.gap)
        self.tiles.setFixedHeight(low)
        for number, face in enumerate(self.faces):
            face.setVisible(face in faces)
            self._column.setStretch(number, heights.get(face, 0))
        self._column.activate()

    @staticmethod
    def _shared(faces: Sequence[RuleFace], room: int) -> dict[RuleFace, int]:
        """Heights of the rules in so much room, px."""
        wished = {face: face.sizeHint().height() for face in faces}
        all_of_them = sum(wished.values())
        bare = {f: f.minimumSizeHint().height() for f in faces if room * wished[f] < all_of_them * f.least_with_rule()}
        rest = room - sum(bare.values())
        others = all_of_them - sum(wished[face] for face in bare)
        return {face: bare[face] if face in bare else round(rest * wished[face] / others) for face in faces}


class RuleStrip(PaintedGround):
    """A rule without a plate of its own."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._picture: RulePicture | None = None
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)

    def show_picture(self, picture: RulePicture | None) -> None:
        """Show this."""
        if picture != self._picture:
            self._picture = picture
            self.setAccessibleName(picture.spoken if picture is not None else "")
            self.update()

    def reader_role(self) -> Role:
        """A chart."""
        return Role.Chart

    def reader_state(self, state: QAccessible.State) -> None:
        """Without a rule it is not there."""
        state.invisible = state.invisible or self._picture is None

    def reader_parts(self) -> list[Part]:
        """Words along the rule."""
        return rule_parts(self._picture, self.rect()) if self._picture is not None else []

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw as much of it as there is room for."""
        if self._picture is None:
            return
        painter = RulePainter(self._look, self.surface())
        wished = [room for room in ON_TILE if room.under <= max(1, len(self._picture.marks))]
        room = next((room for room in wished if painter.high(room) <= self.height()), ON_TILE[-1])
        top = (self.height() - painter.high(room)) / 2
        with QPainter(self) as p:
            p.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.draw(p, QRectF(self.rect()).adjusted(0, top, 0, 0), self._picture, room)


def _rule_place(width: int, gap: int) -> tuple[int, int]:
    """Left and width of the rule on a tile so wide, px: the same on all tiles and over them."""
    left = round(width * TEXT_SHARE)
    return left, width - left - round(2.2 * gap)


class RuledTile(PressButton):
    """Text at the left, its rule at the right; the whole of it is one button."""

    def __init__(self, look: Style, now: Callable[[], object], parent: QWidget) -> None:
        super().__init__(look, Button(""), now, parent=parent)
        self._strip = RuleStrip(look, self)
        self._strip.set_surface("plate")

    def show_state(self, state: Button) -> None:
        """Show this state, with its rule if it has one."""
        super().show_state(state)
        if hasattr(self, "_strip"):  # the base shows its first state before there is a strip
            self._strip.show_picture(state.rule)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The rule keeps to the right of the text."""
        super().resizeEvent(event)
        left, wide = _rule_place(self.width(), self._look.sizes.gap)
        self._strip.setGeometry(left, 2, wide, self.height() - 4)

    def texts(self) -> list[PlacedText]:
        """The text, in its part of the tile."""
        return place(self._state, QSizeF(self.width() * TEXT_SHARE, self.height()), self._look, self._title_most)


class RuledTiles(TileBody):
    """Tiles one below the other, each with its rule."""

    def make_button(self) -> PressButton:
        """A tile for a batch."""
        return RuledTile(self._look, self._now, self)

    def _page(self, room: Room) -> Grid:
        return even_grid(1, max(1, min(room.rows(), len(self._tiles))), room)


class RuleScale(PaintedGround):
    """The ticks of the rule that all tiles below have in common."""

    def __init__(self, look: Style) -> None:
        super().__init__(look)
        self.picture = RulePicture()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_picture(self, picture: RulePicture) -> None:
        """Show these ticks."""
        if picture != self.picture:
            self.picture = picture
            self.setAccessibleName(picture.heading)
            self.update()

    def reader_parts(self) -> list[Part]:
        """Ticks."""
        return rule_parts(self.picture, self.rect())

    def sizeHint(self) -> QSize:
        """One line of words."""
        return QSize(self._look.sizes.touch, round(self._look.sizes.small_text * 2.2))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Heading at the left, ticks over the rules."""
        left, wide = _rule_place(self.width(), self._look.sizes.gap)
        painter = RulePainter(self._look, self.surface())
        with QPainter(self) as p:
            painter.draw_scale(p, QRectF(left, 0, wide, self.height()), self.picture)
            painter.write_line(p, QRectF(0, 0, left, self.height()), self.picture.heading)


class RuledBody(Accessible, QWidget):
    """Tiles with rules under one scale."""

    pressed = Signal(object, object)

    def __init__(self, look: Style, now: Callable[[], object]) -> None:
        super().__init__()
        self._look = look
        self.scale = RuleScale(look)
        self.tiles = RuledTiles(look, now, WISH_MM[Body.RULED], LEAST[Body.RULED])
        self.tiles.pressed.connect(self.pressed)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.scale)
        column.addWidget(self.tiles, 1)

    def show_page(self, state: PageState) -> None:
        """Show scale and tiles."""
        self.scale.show_picture(state.rules[0] if state.rules else RulePicture())
        self.tiles.show_page(state)
