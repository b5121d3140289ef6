"""Text that is not pressed: headings, sentences, quiet lines."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QSizePolicy

from shopclock.views.fit import LINE_HEIGHT, TIGHT, TextBox
from shopclock.widgets.accessible import Role
from shopclock.widgets.drawing import LEFT, PaintedGround, draw_fitted
from shopclock.widgets.style import Weight
from shopclock.widgets.theme import accent

if TYPE_CHECKING:
    from PySide6.QtCore import Qt
    from PySide6.QtGui import QAccessible, QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.views.fit import FittedText
    from shopclock.widgets.style import Style

KINDS = {
    "typed": ("typed_text", Weight.BOLD, "text"),
    "stage": ("stage_text", Weight.BOLD, "text"),
    "sentence": ("sentence_text", Weight.BOLD, "text"),
    "heading": ("title_text", Weight.SEMIBOLD, "text"),
    "section": ("body_text", Weight.SEMIBOLD, "quiet"),
    "body": ("body_text", Weight.MEDIUM, "text"),
    "quiet": ("body_text", Weight.MEDIUM, "quiet"),
    "small": ("small_text", Weight.MEDIUM, "quiet"),
}
"""What a label is for: its size, weight and colour role."""
HEADINGS = {"stage", "sentence", "heading", "section"}
"""Kinds that a screen reader is told of as headings."""
ONE_LINE = 0.6


class Label(PaintedGround):
    """One or two lines of text that shrink before they are cut. `kind` is a key of KINDS.

    `one_line`: to which share of its size one line shrinks before there are two.
    """

    def __init__(
        self,
        look: Style,
        kind: str,
        text: str = "",
        lines: int = 1,
        parent: QWidget | None = None,
        one_line: float = ONE_LINE,
    ) -> None:
        super().__init__(look, parent)
        self._one_line = one_line
        self._size_name, self._weight, self._role = KINDS[kind]
        self._told_as = Role.Heading if kind in HEADINGS else Role.StaticText
        self._lines = lines
        self._align = LEFT
        self._text = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.set_text(text)

    def reader_role(self) -> Role:
        """A heading, or text."""
        return self._told_as

    def reader_state(self, state: QAccessible.State) -> None:
        """Without text it is not there."""
        state.invisible = state.invisible or not self._text

    @property
    def text(self) -> str:
        """Text that it says."""
        return self._text

    def set_text(self, text: str, role: str | None = None) -> None:
        """Say this, in another colour role if one is given; nothing is drawn again when it is the same."""
        if (text, role or self._role) != (self._text, self._role):
            self._text, self._role = text, role or self._role
            self.setAccessibleName(text)
            self.updateGeometry()
            self.update()

    def take_lines(self, room_px: float) -> None:
        """Take two lines where one would have to shrink too far in this width, else one."""
        wide = self._look.width(self._text, self._px(), self._weight)
        lines = 1 + (wide * self._one_line > room_px)
        if lines != self._lines:
            self._lines = lines
            self.updateGeometry()
            self.update()

    def set_align(self, align: Qt.AlignmentFlag) -> None:
        """Left, right or centre."""
        self._align = align
        self.update()

    def fitted(self) -> FittedText:
        """Text as it is written in the room there is."""
        px = self._px()
        least = min(px, self._look.sizes.least_text)
        high = self.height()
        high = max(high, ceil(px * LINE_HEIGHT)) if high >= px * TIGHT else high
        box = TextBox(self.width(), high, px, max(least, round(px * self._one_line)), least, self._lines)
        return self._look.fitted(self._text, box, self._weight)

    def sizeHint(self) -> QSize:
        """Width of the text on one line, as high as its lines."""
        px = self._px()
        wide = self._look.width(self._text, px, self._weight)
        return QSize(round(wide) + 2, round(px * LINE_HEIGHT * self._lines) + 2)

    def minimumSizeHint(self) -> QSize:
        """Any width: the text shrinks."""
        return QSize(1, self.sizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Write the text."""
        if self._text:
            colour = accent(self._look.theme, self.surface(), self._role)
            with QPainter(self) as p:
                draw_fitted(p, QRectF(self.rect()), self.fitted(), self._look, self._weight, colour, self._align)

    def _px(self) -> int:
        return int(getattr(self._look.sizes, self._size_name))
