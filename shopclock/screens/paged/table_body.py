"""The first rows of a table, each column under a button that says what it is."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QVBoxLayout, QWidget

from shopclock.views.button import FIRST_PAGE, LAST_PAGE, Button
from shopclock.widgets.accessible import Accessible, Part, Role
from shopclock.widgets.drawing import PaintedGround
from shopclock.widgets.press_button import PressButton, even_titles

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QPaintEvent, QResizeEvent

    from shopclock.views.page import PageState
    from shopclock.widgets.style import Style

COLUMN_MM = 25.0
LINE = 1.7
"""Height of a row, in heights of its letters."""


class Cells(PaintedGround):
    """Rows of text in columns of one width; what is too long ends in dots."""

    def __init__(self, look: Style) -> None:
        super().__init__(look)
        self.setAccessibleName("First rows")
        self._rows: tuple[tuple[str, ...], ...] = ()
        self._wide = 1.0

    def show_rows(self, rows: tuple[tuple[str, ...], ...], wide: float) -> None:
        """Show these columns, each so wide, px."""
        self._rows, self._wide = rows, wide
        self.update()

    def reader_role(self) -> Role:
        """A list of rows."""
        return Role.List

    def reader_parts(self) -> list[Part]:
        """The rows there is room for."""
        high = round(self._look.sizes.body_text * LINE)
        return [
            Part(", ".join(cell for cell in row if cell), QRect(0, number * high, self.width(), high), Role.ListItem)
            for number, row in enumerate(self._rows[: self.height() // high])
        ]

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Rows, as many as there is room for, a line between two of them."""
        sizes = self._look.sizes
        font = self._look.font(sizes.body_text)
        high, metrics = round(sizes.body_text * LINE), QFontMetricsF(font)
        with QPainter(self) as p:
            p.setFont(font)
            for number, row in enumerate(self._rows[: self.height() // high]):
                p.setPen(QColor(self.surface().text))
                for place, cell in enumerate(row):
                    box = QRect(round(place * self._wide), number * high, round(self._wide) - sizes.gap, high)
                    said = metrics.elidedText(cell, Qt.TextElideMode.ElideRight, box.width())
                    p.drawText(box, Qt.AlignmentFlag.AlignVCenter, said)
                p.setPen(QColor(self.surface().line))
                p.drawLine(0, (number + 1) * high - 1, self.width(), (number + 1) * high - 1)


class TableBody(Accessible, QWidget):
    """Buttons over columns. More columns than fit are turned to by two buttons at the right."""

    pressed = Signal(object, object)

    def __init__(self, look: Style, now: Callable[[], object]) -> None:
        super().__init__()
        self._look = look
        self._now = now
        self._first = 0
        self._state: PageState | None = None
        self._heads: list[PressButton] = []
        self._row = QWidget()
        self.before, self.more = self._turner("Before", -1), self._turner("More", +1)
        self.cells = Cells(look)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self._row)
        self._column.addWidget(self.cells, 1)

    def show_page(self, state: PageState) -> None:
        """Show heads and rows."""
        self._state = state
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Columns, as many as fit."""
        super().resizeEvent(event)
        self._arrange()

    def _fit(self) -> int:
        """Number of columns fit beside the buttons that turn to the others, if there have to be any."""
        sizes = self._look.sizes
        least = max(sizes.touch, COLUMN_MM * max(sizes.px_mm, 5.0 * sizes.unit))
        all_of = len(self._state.tiles) if self._state is not None else 0
        whole = int((self.width() + sizes.gap) // (least + sizes.gap))
        if whole >= all_of:
            return max(1, all_of)
        return max(1, int((self.width() - 2 * (sizes.touch + sizes.gap) + sizes.gap) // (least + sizes.gap)))

    def _arrange(self) -> None:
        state, sizes = self._state, self._look.sizes
        if state is None:
            return
        fit, count = self._fit(), len(state.tiles)
        self._first = max(0, min(self._first, count - fit))
        paged = fit < count
        room = self.width() - (2 * (sizes.touch + sizes.gap) if paged else 0)
        wide = (room + sizes.gap) / fit
        self._column.setSpacing(sizes.gap)
        self._row.setFixedHeight(sizes.touch)
        self._show_heads(state, fit, wide)
        self._show_turners(paged=paged, last=self._first + fit >= count)
        shown = slice(self._first, self._first + fit)
        self.cells.show_rows(tuple(row[shown] for row in state.rows), wide)

    def _show_heads(self, state: PageState, fit: int, wide: float) -> None:
        shown = state.tiles[self._first : self._first + fit]
        while len(self._heads) < len(shown):
            self._add()
        for number, button in enumerate(self._heads):
            button.setVisible(number < len(shown))
            if number < len(shown):
                left = round(number * wide)
                button.setGeometry(left, 0, round(wide) - self._look.sizes.gap, self._look.sizes.touch)
                button.show_state(shown[number])
        even_titles(self._heads[: len(shown)])

    def _show_turners(self, *, paged: bool, last: bool) -> None:
        touch, gap = self._look.sizes.touch, self._look.sizes.gap
        for number, (button, usable) in enumerate(((self.before, self._first > 0), (self.more, not last))):
            why = "" if usable else LAST_PAGE if button is self.more else FIRST_PAGE
            button.setVisible(paged)
            button.setGeometry(self.width() - (2 - number) * touch - (1 - number) * gap, 0, touch, touch)
            button.show_state(Button(button.state.title, role="raised", why_not=why))

    def _add(self) -> None:
        button = PressButton(self._look, Button(""), self._now, parent=self._row)
        button.pressed_at.connect(partial(self._pressed, len(self._heads)))
        self._heads.append(button)

    def _pressed(self, number: int, came_down: object) -> None:
        if self._state is not None:
            self.pressed.emit(self._state.tiles[self._first + number].key, came_down)

    def _turner(self, title: str, step: int) -> PressButton:
        button = PressButton(self._look, Button(title, role="raised"), self._now, bounce_ms=250, parent=self._row)
        button.pressed_at.connect(partial(self._turn, step))
        return button

    def _turn(self, step: int, _came_down: object) -> None:
        self._first += step * self._fit()
        self._arrange()
