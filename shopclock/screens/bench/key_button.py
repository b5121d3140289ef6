"""A button that knows its key, and tells the presenter which key was under the finger when it came down."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from shopclock.shop.values.clock import Moment
from shopclock.views.button import Button
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.bench.state import BenchButton
    from shopclock.views.rect import Rect
    from shopclock.widgets.style import Style

Press = Callable[[str, Moment | None], None]
"""What takes a key and the moment the finger came down."""
Now = Callable[[], Moment]


def state_of(button: BenchButton) -> Button:
    """Return how a button of the Bench is drawn."""
    return Button(
        button.title,
        button.detail,
        aside=button.aside,
        role=button.role,
        enabled=button.enabled,
        checked=button.checked,
        fraction=button.fraction,
        detail_role=button.detail_role,
        tile=button.tile,
        key=button.key,
    )


def moment_of(came_down: object) -> Moment | None:
    """Return the moment that a press carries."""
    return came_down if isinstance(came_down, Moment) else None


class KeyButton(PressButton):
    """A press sends the key that it had when the finger came down, whatever it has become since."""

    def __init__(self, look: Style, press: Press, now: Now, parent: QWidget) -> None:
        super().__init__(look, Button(""), lambda: (self._key, now()), parent=parent)
        self._key = ""
        self._press = press
        self.pressed_at.connect(self._send)

    @property
    def key(self) -> str:
        """The key that a press would send."""
        return self._key

    def show_button(self, button: BenchButton | None) -> None:
        """Show this, or nothing."""
        self.setVisible(button is not None)
        if button is not None:
            self._key = button.key
            self.show_state(state_of(button))

    def put(self, rect: Rect | None, left: int = 0, top: int = 0) -> None:
        """Stand at this place, given its parent's left and top; without one it is not there."""
        self.setVisible(rect is not None)
        if rect is not None:
            self.setGeometry(rect.x - left, rect.y - top, rect.w, rect.h)

    def _send(self, came_down: object) -> None:
        if isinstance(came_down, tuple):
            key, moment = came_down
            self._press(key, moment_of(moment))
