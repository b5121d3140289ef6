"""A sentence that takes one line or two, as it needs, and leaves no room empty under it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize

from shopclock.views.fit import LINE_HEIGHT, TextBox
from shopclock.widgets.labels import KINDS, Label

if TYPE_CHECKING:
    from PySide6.QtGui import QResizeEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.widgets.style import Style

SHRINK = 0.72
"""How far one line may shrink before there are two. Common practice, no source."""


class Heading(Label):
    """A label as high as its lines. `kind` is a key of the labels' KINDS."""

    def __init__(self, look: Style, kind: str, parent: QWidget | None = None) -> None:
        super().__init__(look, kind, lines=2, parent=parent)
        self._kind = kind
        policy = self.sizePolicy()
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def heightForWidth(self, width: int) -> int:
        """As high as the text is at this width, px."""
        size_name, weight, _ = KINDS[self._kind]
        px = int(getattr(self._look.sizes, size_name))
        least = min(px, self._look.sizes.small_text)
        box = TextBox(width, 2 * px * LINE_HEIGHT + 1, px, max(least, round(px * SHRINK)), least)
        written = self._look.fitted(self.text, box, weight)
        return round(len(written.lines) * written.px * LINE_HEIGHT) + 2

    def sizeHint(self) -> QSize:
        """Any width, and the height that goes with the width it has."""
        return QSize(super().sizeHint().width(), self.heightForWidth(max(1, self.width())))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width asks for another height."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()

    def minimumSizeHint(self) -> QSize:
        """Any width: the text shrinks."""
        return QSize(1, 1)
