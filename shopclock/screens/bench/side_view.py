"""Beside the plate: tiles of what waits and what is ready, and the route, which opens the whole of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt
from PySide6.QtWidgets import QWidget

from shopclock.views.fit import LINE_HEIGHT, TextBox
from shopclock.widgets.drawing import LEFT, draw_fitted, draw_plate
from shopclock.widgets.labels import Label
from shopclock.widgets.press_button import KeyButton
from shopclock.widgets.route_outline import RouteOutline
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from PySide6.QtGui import QPainter, QResizeEvent

    from shopclock.screens.bench.layout import SideLayout
    from shopclock.screens.bench.state import SideState
    from shopclock.views.button import Button, Now, Send
    from shopclock.widgets.button_face import PlacedText
    from shopclock.widgets.style import Style


class RouteButton(KeyButton):
    """A tile with the outline of the route under its title."""

    def __init__(self, look: Style, send: Send, now: Now, parent: QWidget) -> None:
        super().__init__(look, send, now, parent)
        self.outline = RouteOutline(look, self)
        self.outline.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.outline.set_surface("plate")

    def show_state(self, state: Button) -> None:
        """Show title and route."""
        super().show_state(state)
        if state.route is not None:
            self.outline.show_state(state.route)

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """The outline has what the title leaves; where that is too little, the title is alone."""
        sizes = self._look.sizes
        pad, title = sizes.gap, round(sizes.body_text * LINE_HEIGHT + sizes.gap * 0.8)
        high = self.outline.sizeHint().height()
        room = self.height() - title - pad
        self.outline.setVisible(room >= high and self.width() >= 2 * sizes.touch)
        self.outline.setGeometry(pad, title, self.width() - 2 * pad, min(room, high + pad))

    def texts(self) -> list[PlacedText]:
        """The title alone, when there is no room for the outline."""
        return super().texts() if self.outline.isHidden() else []

    def draw(self, p: QPainter, rect: QRectF) -> None:
        """Draw plate and title; the outline draws itself."""
        if self.outline.isHidden():
            super().draw(p, rect)
            return
        surface = self.apply_style()
        draw_plate(p, rect, surface.ground, surface.line)
        pad, px = self._look.sizes.gap, self._look.sizes.body_text
        place = QRectF(pad * 1.4, pad * 0.5, rect.width() - pad * 3, px * LINE_HEIGHT + 1)
        text = self._look.fitted(
            self.state.title, TextBox(place.width(), place.height(), px, px // 2, px // 2, 1), Weight.SEMIBOLD
        )
        draw_fitted(p, place, text, self._look, Weight.SEMIBOLD, surface.text, LEFT)
        self.draw_ring(p, rect, surface)


class SideView(QWidget):
    """Shows the side's state at the places of a layout, in its parent's pixels."""

    def __init__(self, look: Style, send: Send, now: Now, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self._send = send
        self._now = now
        self.heading = Label(look, "section", parent=self)
        self.route = RouteButton(look, send, now, self)
        self.tiles: list[KeyButton] = []
        self.corners: list[KeyButton] = []

    def show_side(self, state: SideState, layout: SideLayout) -> None:
        """Show this state at these places; what has no place is not there."""
        head, route = layout.heading, layout.route
        places = (route, *layout.tiles, *([head] if head is not None else []), *(place for _, place in layout.corners))
        left, top = min(rect.x for rect in places), min(rect.y for rect in places)
        right, under = max(rect.right for rect in places), max(rect.bottom for rect in places)
        self.setGeometry(left, top, right - left, under - top)
        self.heading.setVisible(head is not None)
        self.heading.set_text(state.heading)
        if head is not None:
            self.heading.setGeometry(head.x - left, head.y - top, head.w, head.h)
        self.route.show_button(state.whole_route, route, left, top)
        while len(self.tiles) < len(layout.tiles):
            self.tiles.append(KeyButton(self._look, self._send, self._now, self))
        for number, tile in enumerate(self.tiles):
            place = layout.tiles[number] if number < len(layout.tiles) else None
            tile.show_button(state.tiles[number] if place is not None else None, place, left, top)
        while len(self.corners) < len(layout.corners):
            self.corners.append(KeyButton(self._look, self._send, self._now, self))
        for button, (number, place) in zip(self.corners, layout.corners, strict=False):
            button.show_button(state.corners[number], place, left, top)
        for spare in self.corners[len(layout.corners) :]:
            spare.hide()
