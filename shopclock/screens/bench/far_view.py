"""The far view: stage, clock and pieces as large as they go, and Stop, Next, Done along the bottom."""

from __future__ import annotations

from functools import partial
from itertools import zip_longest
from math import ceil
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QEvent, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QTouchEvent

from shopclock.screens.bench.act_words import said
from shopclock.screens.bench.large_button import FarButton
from shopclock.screens.bench.layout import CORNER, letters_wide, share_row
from shopclock.screens.bench.state import Verb
from shopclock.views.button import Press
from shopclock.views.fit import TIGHT, TextBox
from shopclock.views.metrics import CLOCK_DIGIT_MM
from shopclock.views.rect import Rect
from shopclock.widgets.accessible import Cover, Part, Role, covered
from shopclock.widgets.clock_face import ClockFace
from shopclock.widgets.drawing import CENTRE, PaintedGround, draw_fitted, draw_plate
from shopclock.widgets.letters import LetterRow
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QHideEvent, QKeyEvent, QMouseEvent, QPaintEvent, QResizeEvent, QShowEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.bench.state import BenchState
    from shopclock.views.button import Button, Now, Send
    from shopclock.views.fit import FittedText
    from shopclock.widgets.style import Style

LIVE = 3
"""The first buttons of the bottom row that are there from afar: Stop, Next, Done."""
NAME = 0.15
"""The height of the stage's name as a share of the plate's, or what is read from afar where that is more."""
STOP_SHARE = 0.75
"""*Stop* is known by its place and colour: it is written so much smaller than *Done* where room is scarce."""
ROW, LINE = 1.2, 0.5
"""Height of a line that is read from afar, and of a smaller one, as shares of its font size."""


class FarLayout(NamedTuple):
    """Places on the plate: the stage, its batch (none where both share a line), the clock, a line, the letters."""

    name: Rect
    batch: Rect | None
    clock: Rect
    line: Rect | None
    letters: Rect | None


class FarView(Cover, PaintedGround):
    """Covers the Bench. `left` says that somebody pressed elsewhere than on a button."""

    left = Signal()

    def __init__(self, look: Style, send: Send, now: Now, parent: QWidget) -> None:
        super().__init__(look, parent)
        self.clock = ClockFace(look, self)
        self.buttons = tuple(FarButton(look, send, now, self) for _ in range(LIVE))
        self.letters = LetterRow(look, send, now, self)
        self.letters.sleeve.connect(partial(send, Press(Verb.SLEEVE), None))
        self._shown: list[Button] = []
        self._name = self._batch = self._line = self._beside = ""

    def show_far(self, state: BenchState) -> None:
        """Show this state from afar."""
        self._shown = [
            button for button in state.bottom if button.verb not in (Verb.NOT_RIGHT, Verb.UNDO, Verb.PUT_BACK)
        ]
        self._name, self._batch = state.far_name, state.far_batch
        self._line, self._beside = state.far_line, state.far_beside
        self.setAccessibleName("From afar")
        self.letters.set_surface(state.plate.role)
        wide = self.plate().w - 4 * self._look.sizes.gap
        fits = letters_wide(self._look.sizes, len(state.plate.letters)) <= wide
        self.letters.show_letters(state.plate.letters if fits else state.plate.shrunk)
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

    def showEvent(self, _event: QShowEvent) -> None:
        """Take the keyboard from a button that it covers."""
        holding: QWidget | None = self.window().focusWidget()
        if holding is not None and covered(holding):
            self.hold_keyboard()

    def hideEvent(self, _event: QHideEvent) -> None:
        """Give it back."""
        self.let_keyboard_go()

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Place everything anew."""
        self._arrange()

    def reader_parts(self) -> Sequence[Part]:
        """Stage, batch and pieces, and what runs beside."""
        plate = self.plate()
        whole = QRect(plate.x, plate.y, plate.w, plate.h)
        head = Part(said([self._name, self._batch]), whole, Role.Heading)
        return [head, Part(self._line, whole), Part(self._beside, whole)]

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
            places = self._places()
            together = said([self._name, self._batch]) if places.batch is None else self._name
            self._write(p, together, places.name, Weight.BOLD)
            self._write(p, self._batch, places.batch, Weight.BOLD)
            self._write(p, self._beside or self._line, places.line, Weight.SEMIBOLD)

    def written(self) -> dict[str, FittedText]:
        """Stage and batch as they are written."""
        places = self._places()
        if places.batch is None:
            return {"both": self._fitted(said([self._name, self._batch]), places.name, Weight.BOLD)}
        return {
            "stage": self._fitted(self._name, places.name, Weight.BOLD),
            "batch": self._fitted(self._batch, places.batch, Weight.BOLD),
        }

    def _fitted(self, text: str, place: Rect, weight: Weight) -> FittedText:
        px = max(8, self._look.sizes.clock_text_min, int(place.h / TIGHT)) if weight is Weight.BOLD else place.h
        return self._look.fitted(text, TextBox(place.w, px * 1.25, px, px // 4, px // 4, lines=1), weight)

    def _write(self, p: QPainter, text: str, place: Rect | None, weight: Weight) -> None:
        if text and place is not None:
            rect = QRectF(place.x, place.y, place.w, place.h)
            fitted = self._fitted(text, place, weight)
            draw_fitted(p, rect, fitted, self._look, weight, self.surface().text, CENTRE)

    def _row_high(self) -> int:
        sizes = self._look.sizes
        return max(sizes.touch, ceil(sizes.clock_text_min * ROW) + 1, round(sizes.height * 0.15))

    def _arrange(self) -> None:
        sizes, plate, places = self._look.sizes, self.plate(), self._places()
        self.letters.setVisible(places.letters is not None)
        for widget, place in ((self.letters, places.letters), (self.clock, places.clock)):
            if place is not None:
                widget.setGeometry(place.x, place.y, place.w, place.h)
        row = Rect(plate.x, plate.bottom + sizes.gap, plate.w, self._row_high())
        places_below = share_row(row, self._weights(row.w), sizes.gap, sizes.touch)
        for button, shown, place in zip_longest(self.buttons, self._shown, places_below):
            button.show_button(shown, place)

    def _weights(self, wide: int) -> list[float]:
        """Stop and Done get the width that their words need to be read; Next has what they leave, or its share."""
        sizes = self._look.sizes
        found = []
        for shown in self._shown:
            px = FarButton.words_px(sizes, self._row_high()) * (STOP_SHARE if shown.verb == Verb.STOP else 1)
            words = self._look.width(shown.title, round(px), Weight.SEMIBOLD) + 4 * sizes.gap + 2
            if shown.verb == Verb.STOP:  # of several it names each
                words = max(words, self._look.width(shown.detail, sizes.small_text, Weight.MEDIUM) + 4 * sizes.gap)
            named = shown.verb in (Verb.STOP, Verb.DONE)
            found.append(min(words, wide * 0.5) if named else wide * 0.2)
        rest = [n for n, shown in enumerate(self._shown) if shown.verb not in (Verb.STOP, Verb.DONE)]
        spare = wide - sizes.gap * (len(found) - 1) - sum(found)
        for n in rest:
            found[n] += max(0.0, spare) / len(rest)
        return found

    def _places(self) -> FarLayout:
        """The fullest layout whose clock is as large as it must be: letters, then the line of words, give way.

        What runs beside it is said in that line: then the letters give way before it.
        """
        sizes = self._look.sizes
        words = self._fits_beside()
        letters, line = bool(self.letters.tiles) and self._letters_wide(), bool(self._beside or self._line)
        tries = [(letters, line), (letters, bool(self._beside)), (False, line), (False, bool(self._beside))]
        least = sizes.px_mm * CLOCK_DIGIT_MM * 1.05
        made = [self._layout(one_line, *tried) for one_line in ((True,) if words else (False, True)) for tried in tries]
        return next((layout for layout in made if layout.clock.h >= least), made[-1])

    def _fits_beside(self) -> bool:
        """Stage and batch have room in one line at the size that is read from afar."""
        both = self._look.width(said([self._name, self._batch]), self._look.sizes.clock_text_min, Weight.BOLD)
        return both <= self.plate().w - 4 * self._look.sizes.gap

    def _letters_wide(self) -> bool:
        sizes = self._look.sizes
        return letters_wide(sizes, len(self.letters.tiles)) <= self.plate().w - 4 * sizes.gap

    def _layout(self, one_line: bool, letters: bool, line: bool) -> FarLayout:
        sizes, plate = self._look.sizes, self.plate()
        gap, high = sizes.gap, max(ceil(sizes.clock_text_min * TIGHT), round(plate.h * NAME))
        x, w, top, low = plate.x + 2 * gap, plate.w - 4 * gap, plate.y + gap // 2, plate.bottom - max(gap // 2, CORNER)
        name = Rect(x, top, w, high)
        top += high
        batch = None if one_line else Rect(x, top, w, sizes.clock_text_min)
        top += batch.h if batch is not None else 0
        at = Rect(x, low - sizes.touch, w, sizes.touch) if letters else None
        low -= sizes.touch + gap // 2 if letters else 0
        small = round(sizes.clock_text_min * LINE)
        words = Rect(x, low - small, w, small) if line else None
        low -= small if line else 0
        return FarLayout(name, batch, Rect(x, top, w, max(1, low - top - gap // 2)), words, at)
