"""Controls of Trends: a sentence of one line or two, a row of buttons, the turners of pages."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from shopclock.views.button import FIRST_PAGE, LAST_PAGE, Button
from shopclock.views.fit import LINE_HEIGHT, TextBox
from shopclock.widgets.button_face import natural_width
from shopclock.widgets.labels import KINDS, Label
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from PySide6.QtGui import QResizeEvent

    from shopclock.widgets.style import Style

SHRINK = 0.72
"""Least size of one line, as a share, before there are two. Common practice, no source."""
MOST_LINES = 3


class Heading(Label):
    """A label as high as its lines, of which long names can make three. `kind` is a key of the labels' KINDS."""

    def __init__(self, look: Style, kind: str, parent: QWidget | None = None) -> None:
        super().__init__(look, kind, lines=2, parent=parent)
        self._kind = kind
        policy = self.sizePolicy()
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def heightForWidth(self, width: int) -> int:
        """Height of the text is at this width, px."""
        size_name, weight, _ = KINDS[self._kind]
        px = int(getattr(self._look.sizes, size_name))
        least = min(px, self._look.sizes.least_text)
        box = TextBox(width, MOST_LINES * px * LINE_HEIGHT + 1, px, max(least, round(px * SHRINK)), least)
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


WIDEST = 0.27
"""The most that one button takes of the window's width; a longer name takes two lines."""


class RowButton(PressButton):
    """A button of the row. All titles have one size; where there is no room the buttons get narrower together."""

    def __init__(self, look: Style, key: str) -> None:
        super().__init__(look, Button(key), bounce_ms=250)
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self._redress()

    def sizeHint(self) -> QSize:
        """Width of its words."""
        sizes, least = self._look.sizes, self.minimumSizeHint()
        wide = round(min(natural_width(self.state, self._look, sizes.body_text), WIDEST * sizes.width))
        return QSize(max(least.width(), wide), least.height())

    def minimumSizeHint(self) -> QSize:
        """A little wider than high."""
        tab = self._look.sizes.tab
        return QSize(round(1.2 * tab), tab)

    def _redress(self) -> None:
        self.limit_title(self._look.sizes.body_text)
        super()._redress()


class ButtonRow(QWidget):
    """Buttons beside each other; `pressed` carries the key of the one that was pressed."""

    pressed = Signal(str)

    def __init__(self, look: Style, keys: Sequence[str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.buttons = {key: self._button(key) for key in keys}
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        for button in self.buttons.values():
            self._row.addWidget(button)
        look.changed.connect(self._redress)
        self._redress()

    def show_states(self, states: Mapping[str, Button]) -> None:
        """Show these states by key; a button without one is hidden, the row with all of them."""
        for key, button in self.buttons.items():
            button.setVisible(key in states)
        for key, state in states.items():
            self.buttons[key].show_state(state)
        self.setVisible(bool(states))

    def _button(self, key: str) -> PressButton:
        button = RowButton(self._look, key)
        button.pressed_at.connect(partial(self._press, key))
        return button

    def _press(self, key: str, _came_down: object) -> None:
        self.pressed.emit(key)

    def _redress(self) -> None:
        self._row.setSpacing(self._look.sizes.gap)


class Paged(Protocol):
    """Something that is read a page at a time."""

    def starts(self) -> list[int]:
        """The first line of each page."""

    def show_from(self, first: int) -> None:
        """Show the page that begins with this."""


class Turners(ButtonRow):
    """Before and More: they turn the pages of something. Out of sight where there is but one page."""

    def __init__(self, look: Style, pages: Paged, parent: QWidget | None = None) -> None:
        super().__init__(look, ("before", "more"), parent)
        self._pages, self._page = pages, 0
        self.pressed.connect(lambda key: self.turn(1 if key == "more" else -1))

    def turn(self, by: int = 0) -> None:
        """Show the page so many further on, or the nearest that there is."""
        starts = self._pages.starts()
        self._page = page = max(0, min(self._page + by, len(starts) - 1))
        further = page < len(starts) - 1
        both = {
            "before": Button("Before", why_not="" if page > 0 else FIRST_PAGE),
            "more": Button("More", f"page {page + 1} of {len(starts)}", why_not="" if further else LAST_PAGE),
        }
        self.show_states(both if len(starts) > 1 else {})
        self._pages.show_from(starts[page])
