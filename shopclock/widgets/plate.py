"""The plate, whose colour tells the state from across the shop, and the thin line that fills on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QRectF, QSize, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QSizePolicy

from shopclock.widgets.accessible import Role
from shopclock.widgets.drawing import PaintedGround, draw_bar, draw_plate, hatch_edge, hatch_px
from shopclock.widgets.theme import accent

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.widgets.style import Style


class OnPlate(Protocol):
    """Part that stands on a plate and takes its colours from it."""

    def set_surface(self, role: str) -> None:
        """The role of the plate this stands on."""


class Plate(PaintedGround):
    """A container in a surface role: dye by hand, straw stay-by-it, dark stopped; red, hatched, what spoils."""

    role_changed = Signal(str)

    def __init__(self, look: Style, role: str = "plate", parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._on = role

    def reader_role(self) -> Role:
        """A group of what stands on it."""
        return Role.Grouping

    @property
    def role(self) -> str:
        """The surface role it has now."""
        return self._on

    def set_role(self, role: str) -> None:
        """Change the colour of the plate and of what it carries."""
        if role != self._on:
            self.set_surface(role)
            self.role_changed.emit(role)

    def carry(self, widget: OnPlate) -> None:
        """Let a widget on the plate take its colours from the plate, now and later."""
        widget.set_surface(self._on)
        self.role_changed.connect(widget.set_surface)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw ground and scribed outline."""
        surface = self.surface()
        with QPainter(self) as p:
            draw_plate(p, QRectF(self.rect()), surface.ground, surface.line, width=1.5)
            if self._on == "red":
                hatch_edge(p, QRectF(self.rect()), surface.text, hatch_px(self._look))


class ProgressLine(PaintedGround):
    """Line of how much is done, 0 to 1; the text beside it says the figures."""

    def __init__(self, look: Style, role: str = "text", parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._share = 0.0
        self._role = role
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def set_share(self, share: float) -> None:
        """Fill it to this share; nothing is drawn again when it is the same."""
        if share != self._share:
            self._share = share
            self.setAccessibleName(f"{share:.0%}".replace("%", " %"))
            self.update()

    def reader_role(self) -> Role:
        """A line that fills."""
        return Role.ProgressBar

    def sizeHint(self) -> QSize:
        """Thin."""
        return QSize(self._look.sizes.touch, max(4, round(6 * self._look.sizes.unit)))

    def minimumSizeHint(self) -> QSize:
        """Thin."""
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw what is filled and what is not."""
        surface = self.surface()
        with QPainter(self) as p:
            draw_bar(p, QRectF(self.rect()), self._share, accent(self._look.theme, surface, self._role), surface.line)
