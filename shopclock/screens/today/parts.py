"""What Today is drawn with: tiles that know their key, and the red band."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench.key_button import KeyButton
from shopclock.views.button import Button
from shopclock.views.fit import LINE_HEIGHT
from shopclock.widgets.labels import Label
from shopclock.widgets.plate import Plate

if TYPE_CHECKING:
    from PySide6.QtGui import QResizeEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.bench.key_button import Now, Press
    from shopclock.screens.today.state import SpoilBand, TodayTile
    from shopclock.views.rect import Rect
    from shopclock.widgets.style import Style


class KeyTile(KeyButton):
    """A tile with a key."""

    def show_tile(self, tile: TodayTile | None) -> None:
        """Show this tile, or nothing."""
        self.setVisible(tile is not None)
        if tile is not None:
            self._key = tile.key
            self.show_state(_state(tile))


def _state(tile: TodayTile) -> Button:
    return Button(
        tile.title,
        tile.detail,
        figure=tile.figure,
        aside=tile.aside,
        note=tile.note,
        role=tile.role,
        checked=tile.checked,
        fraction=tile.fraction,
        figure_role=tile.figure_role,
        note_role=tile.note_role,
        tile=tile.written_left,
    )


class BandView(Plate):
    """What spoils, in red, with the button that starts what it needs."""

    def __init__(self, look: Style, press: Press, now: Now, parent: QWidget) -> None:
        super().__init__(look, "red", parent)
        self.title = Label(look, "sentence", parent=self, lines=2)
        self.detail = Label(look, "body", parent=self, lines=2)
        self.button = KeyTile(look, press, now, self)
        for part in (self.title, self.detail, self.button):
            self.carry(part)

    def show_band(self, band: SpoilBand, rect: Rect) -> None:
        """Show this at this place."""
        self.title.set_text(band.title)
        self.detail.set_text(band.detail)
        self.button.show_tile(band.button)
        self.setGeometry(rect.x, rect.y, rect.w, rect.h)
        self.setVisible(True)

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Words at the left, the button at the right."""
        sizes = self._look.sizes
        wide, inset = min(2 * sizes.touch, self.width() // 4), sizes.gap // 2
        pad = round(1.6 * sizes.gap)
        self.button.setGeometry(self.width() - wide - inset, inset, wide, self.height() - 2 * inset)
        room, inner = self.button.x() - 2 * pad, self.height() - sizes.gap
        title = min(round(inner * 0.5), round(sizes.sentence_text * LINE_HEIGHT) + 2)
        detail = min(inner - title, round(sizes.body_text * LINE_HEIGHT * 2) + 2)
        top = (self.height() - title - detail) // 2
        self.title.setGeometry(pad, top, room, title)
        self.detail.setGeometry(pad, top + title, room, detail)
