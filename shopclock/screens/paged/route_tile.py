"""A tile with a route drawn on it: a batch, and where its pieces stand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSizeF, Qt

from shopclock.views.button import Button
from shopclock.views.route_state import RouteState
from shopclock.widgets.button_face import place
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.route_outline import RouteOutline

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QResizeEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.widgets.button_face import PlacedText
    from shopclock.widgets.style import Style

TEXT_SHARE = 0.5


class RouteTile(PressButton):
    """Text at the left, the outline at the right; the whole of it is one button."""

    def __init__(self, look: Style, now: Callable[[], object], parent: QWidget) -> None:
        super().__init__(look, Button(""), now, parent=parent)
        self._outline = RouteOutline(look, self)
        self._outline.set_surface("plate")
        self._outline.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)

    def show_state(self, state: Button) -> None:
        """Show this state, with its route if it has one."""
        super().show_state(state)
        if hasattr(self, "_outline"):  # the base shows its first state before there is an outline
            self._outline.setVisible(state.route is not None)
            self._outline.show_state(state.route or RouteState())
            self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The outline keeps to the right of the text."""
        super().resizeEvent(event)
        self._arrange()

    def texts(self) -> list[PlacedText]:
        """The text, in its part of the tile."""
        share = TEXT_SHARE if self._state.route is not None else 1.0
        return place(self._state, QSizeF(self.width() * share, self.height()), self._look, self._title_most)

    def _arrange(self) -> None:
        pad = self._look.sizes.gap
        left = round(self.width() * TEXT_SHARE)
        high = min(self.height() - pad, self._outline.sizeHint().height())
        top = (self.height() - high) // 2
        self._outline.setGeometry(left, top, self.width() - left - round(1.6 * pad), high)
