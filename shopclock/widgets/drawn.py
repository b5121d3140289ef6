"""The ground of the painted widgets that are not pressed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from shopclock.widgets.look import Look
    from shopclock.widgets.theme import Surface


class Drawn(QWidget):
    """A widget that paints itself with the look, and knows the role of the surface it stands on."""

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._on = "ground"
        look.changed.connect(self._redress)

    def set_surface(self, role: str) -> None:
        """The role of the plate this stands on."""
        if role != self._on:
            self._on = role
            self.update()

    def surface(self) -> Surface:
        """What it is drawn with."""
        return self._look.surface(self._on)

    def _redress(self) -> None:
        self.updateGeometry()
        self.update()
