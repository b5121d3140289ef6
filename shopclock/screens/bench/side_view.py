"""Beside the plate: tiles of what waits and what is ready, and the route, which opens the whole of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt
from PySide6.QtWidgets import QWidget

from shopclock.screens.bench.key_button import KeyButton
from shopclock.views.fit import LINE_HEIGHT, TextBox
from shopclock.views.route_state import RouteState
from shopclock.widgets.drawing import LEFT, draw_fitted, draw_plate, fit_text
from shopclock.widgets.labels import Label
from shopclock.widgets.route_outline import RouteOutline
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from PySide6.QtGui import QPainter, QResizeEvent

    from shopclock.screens.bench.key_button import Now, Press
    from shopclock.screens.bench.layout import SideLayout
    from shopclock.screens.bench.state import RouteShown, SideState
    from shopclock.widgets.button_face import PlacedText
    from shopclock.widgets.style import Style


class RouteButton(KeyButton):
    """A tile with the outline of the route under its title."""

    def __init__(self, look: Style, press: Press, now: Now, parent: QWidget) -> None:
        super().__init__(look, press, now, parent)
        self.outline = RouteOutline(look, self)
        self.outline.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.outline.set_surface("plate")

    def show_route(self, route: RouteShown) -> None:
        """Show this route."""
        self.outline.show_state(RouteState(route.outline, route.fills, route.marks, route.spoken))

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """The outline has what the title leaves; where that is too little, the title is alone."""
        pad, title = self._look.sizes.gap, self._title_high()
        high = self.outline.sizeHint().height()
        room = self.height() - title - pad
        self.outline.setVisible(room >= high and self.width() >= 2 * self._look.sizes.touch)
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
        text = fit_text(
            self._look,
            self.state.title,
            TextBox(place.width(), place.height(), px, px // 2, px // 2, 1),
            Weight.SEMIBOLD,
        )
        draw_fitted(p, place, text, self._look, Weight.SEMIBOLD, surface.text, LEFT)
        self.draw_ring(p, rect, surface)

    def _title_high(self) -> int:
        sizes = self._look.sizes
        return round(sizes.body_text * LINE_HEIGHT + sizes.gap * 0.8)


class SideView(QWidget):
    """Shows the side's state at the places of a layout, in its parent's pixels."""

    def __init__(self, look: Style, press: Press, now: Now, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self._press = press
        self._now = now
        self.heading = Label(look, "section", parent=self)
        self.route = RouteButton(look, press, now, self)
        self.tiles: list[KeyButton] = []

    def show_side(self, state: SideState, layout: SideLayout) -> None:
        """Show this state at these places."""
        self._cover(layout)
        left, top = self.x(), self.y()
        head = layout.heading
        self.heading.setVisible(head is not None)
        self.heading.set_text(state.heading)
        if head is not None:
            self.heading.setGeometry(head.x - left, head.y - top, head.w, head.h)
        self.route.show_button(state.whole_route)
        self.route.put(layout.route, left, top)
        self.route.show_route(state.route)
        while len(self.tiles) < len(layout.tiles):
            self.tiles.append(KeyButton(self._look, self._press, self._now, self))
        for number, tile in enumerate(self.tiles):
            here = number < len(layout.tiles)
            tile.show_button(state.tiles[number] if here else None)
            if here:
                tile.put(layout.tiles[number], left, top)

    def _cover(self, layout: SideLayout) -> None:
        """Lie over all of the side's places."""
        rects = [layout.route, *layout.tiles, *([layout.heading] if layout.heading is not None else [])]
        top = min(rect.y for rect in rects)
        self.setGeometry(layout.route.x, top, layout.route.w, layout.route.bottom - top)
