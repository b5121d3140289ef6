"""The far view: stage, clock and pieces as large as they go, and Stop, Next, Done along the bottom."""

from __future__ import annotations

from functools import partial
from itertools import zip_longest
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QTouchEvent

from shopclock.screens.bench.layout import WEIGHTS, letters_wide, share_row
from shopclock.screens.bench.state import Verb
from shopclock.views.button import Press
from shopclock.views.fit import TextBox
from shopclock.views.rect import Rect
from shopclock.widgets.accessible import Cover, Part, Role
from shopclock.widgets.clock_face import ClockFace
from shopclock.widgets.drawing import CENTRE, PaintedGround, draw_fitted, draw_plate
from shopclock.widgets.letters import LetterRow
from shopclock.widgets.press_button import KeyButton
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QKeyEvent, QMouseEvent, QPaintEvent, QResizeEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.bench.state import BenchState
    from shopclock.views.button import Button, Now, Send
    from shopclock.widgets.style import Style

LIVE = 3
"""The first buttons of the bottom row that are there from afar: Stop, Next, Done."""
NAME, PIECES = 0.17, 0.13
"""The height of the stage and of the pieces as shares of the plate's."""


class FarView(Cover, PaintedGround):
    """Covers the Bench. `left` says that somebody pressed elsewhere than on a button."""

    left = Signal()

    def __init__(self, look: Style, send: Send, now: Now, parent: QWidget) -> None:
        super().__init__(look, parent)
        self.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)
        self.clock = ClockFace(look, self)
        self.buttons = tuple(KeyButton(look, send, now, self) for _ in range(LIVE))
        self.letters = LetterRow(look, send, now, self)
        self.letters.sleeve.connect(partial(send, Press(Verb.SLEEVE), None))
        self._shown: list[Button] = []
        self._name = ""
        self._line = ""

    def show_far(self, state: BenchState) -> None:
        """Show this state from afar."""
        self._shown = [
            button for button in state.bottom if button.verb not in (Verb.NOT_RIGHT, Verb.UNDO, Verb.PUT_BACK)
        ]
        self._name, self._line = state.far_name, state.far_line
        self.setAccessibleName("From afar")
        self.letters.set_surface(state.plate.role)
        self.letters.show_letters(state.plate.letters)
        self.set_surface(state.plate.role)
        self.clock.set_surface(state.plate.role)
        self._arrange()
        self.update()

    def plate(self) -> Rect:
        """Place of the plate, px."""
        sizes = self._look.sizes
        margin = sizes.margin
        return Rect(
            margin, margin, self.width() - 2 * margin, self.height() - 2 * margin - self._row_high() - sizes.gap
        )

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Place everything anew."""
        self._arrange()

    def reader_parts(self) -> Sequence[Part]:
        """Stage and pieces."""
        return (
            Part(self._name, self._band(0, NAME).toRect(), Role.Heading),
            Part(self._line, self._line_band().toRect()),
        )

    def reader_press(self) -> Callable[[], object] | None:
        """A press elsewhere brings the Bench back."""
        return self.left.emit

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """So does Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def event(self, event: QEvent) -> bool:
        """A finger elsewhere brings the Bench back when it is lifted, and does nothing else."""
        if isinstance(event, QTouchEvent):
            if event.type() == QEvent.Type.TouchEnd:
                self.left.emit()
            event.accept()
            return True
        return super().event(event)

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """The same with a mouse."""
        self.left.emit()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Keep it from what lies under it."""
        event.accept()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw ground, plate, stage and pieces."""
        plate, surface = self.plate(), self.surface()
        rect = QRectF(plate.x, plate.y, plate.w, plate.h)
        with QPainter(self) as p:
            p.fillRect(self.rect(), QColor(self._look.theme.ground))
            draw_plate(p, rect, surface.ground, surface.line, width=1.5)
            self._write(p, self._name, self._band(0, NAME), Weight.BOLD)
            self._write(p, self._line, self._line_band(), Weight.SEMIBOLD)

    def _write(self, p: QPainter, text: str, rect: QRectF, weight: Weight) -> None:
        px = max(8, int(rect.height() * 0.72))
        box = TextBox(rect.width(), rect.height(), px, px // 4, px // 4, lines=1)
        colour = self.surface().text
        draw_fitted(p, rect, self._look.fitted(text, box, weight), self._look, weight, colour, CENTRE)

    def _band(self, top: float, high: float) -> QRectF:
        plate, pad = self.plate(), 2 * self._look.sizes.gap
        return QRectF(plate.x + pad, plate.y + plate.h * top + 4, plate.w - 2 * pad, plate.h * high)

    def _line_band(self) -> QRectF:
        """Place of the line: at the foot of the plate, or above its letters."""
        low, plate = self._lettered(), self.plate()
        if low is None:
            return self._band(1 - PIECES - 0.03, PIECES)
        high = round(plate.h * PIECES * 0.6)
        return QRectF(low.x, low.y - high, low.w, high)

    def _row_high(self) -> int:
        sizes = self._look.sizes
        return max(sizes.touch, round(sizes.height * 0.17))

    def _arrange(self) -> None:
        sizes, plate = self._look.sizes, self.plate()
        top = plate.y + round(plate.h * NAME) + sizes.gap
        low = self._lettered()
        low_top = low.y if low is not None else plate.y + round(plate.h * (1 - PIECES - 0.03))
        self.letters.setVisible(low is not None)
        if low is not None:
            self.letters.setGeometry(low.x, low.y, low.w, low.h)
            low_top -= round(plate.h * PIECES * 0.6)
        high = low_top - sizes.gap - top
        self.clock.setGeometry(plate.x + 2 * sizes.gap, top, plate.w - 4 * sizes.gap, max(1, high))
        row = Rect(plate.x, plate.bottom + sizes.gap, plate.w, self._row_high())
        places = share_row(row, [WEIGHTS[shown.verb] for shown in self._shown], sizes.gap, sizes.touch)
        for button, shown, place in zip_longest(self.buttons, self._shown, places):
            button.show_button(shown, place)

    def _lettered(self) -> Rect | None:
        """Place of the letters in a row, where all have room beside each other under the clock."""
        sizes, plate, n = self._look.sizes, self.plate(), len(self.letters.tiles)
        wide = plate.w - 4 * sizes.gap
        if not n or letters_wide(sizes, n) > wide or plate.h * (1 - NAME - PIECES) < 2.4 * sizes.touch:
            return None
        return Rect(plate.x + 2 * sizes.gap, plate.bottom - sizes.gap - sizes.touch, wide, sizes.touch)
