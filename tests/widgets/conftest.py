"""A look at 1280 x 800 in the dark theme, and a finger."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtTest import QTest

from shopclock.places import resource
from shopclock.views.metrics import Sizes
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.style import Style
from shopclock.widgets.theme import read_theme
from tests.looks import SCREENS

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtCore import QPoint
    from PySide6.QtWidgets import QWidget


class Fingers:
    """Fingers on a touch screen, each with its number, at places on widgets of one window."""

    def __init__(self, device: object) -> None:
        self._device = device
        self._at: dict[int, QPoint] = {}

    def down(self, finger: int, widget: QWidget) -> None:
        """Put a finger down in the middle of a widget."""
        self._at[finger] = widget.mapTo(widget.window(), widget.rect().center())
        self._send(widget.window(), finger, "press")

    def slide(self, finger: int, window: QWidget, by: QPoint) -> None:
        """Move a finger."""
        self._at[finger] += by
        self._send(window, finger, "move")

    def up(self, finger: int, window: QWidget) -> None:
        """Lift a finger."""
        self._send(window, finger, "release")
        del self._at[finger]

    def tap(self, finger: int, widget: QWidget) -> None:
        """Put a finger down and lift it."""
        self.down(finger, widget)
        self.up(finger, widget.window())

    def _send(self, window: QWidget, finger: int, what: str) -> None:
        events = QTest.touchEvent(window.windowHandle(), self._device, autoCommit=False)
        for number, place in self._at.items():
            if number == finger:
                getattr(events, what)(number, place, window.windowHandle())
            else:
                events.stationary(number)
        events.commit()


class Hours:
    """A clock that counts how often it was asked: 1, 2, 3."""

    def __init__(self) -> None:
        self.asked = 0

    def __call__(self) -> int:
        self.asked += 1
        return self.asked


@pytest.fixture(scope="session")
def family(request: pytest.FixtureRequest) -> str:
    request.getfixturevalue("qapp")
    return load_font(resource("fonts", name) for name in FONT_FILES)


@pytest.fixture
def make_look(family: str) -> Callable[..., Style]:
    def make(width: int = 1280, height: int = 800, theme: str = "dark", *, gloves: bool = False) -> Style:
        sizes = Sizes(width, height, SCREENS[width, height], gloves=gloves)
        return Style(read_theme(resource("theme.toml"), theme), sizes, family)

    return make


@pytest.fixture
def look(make_look: Callable[..., Style]) -> Style:
    return make_look()


@pytest.fixture(scope="session")
def touch_device(request: pytest.FixtureRequest) -> object:
    request.getfixturevalue("qapp")
    return QTest.createTouchDevice()


@pytest.fixture
def fingers(touch_device: object) -> Fingers:
    return Fingers(touch_device)


@pytest.fixture
def hours() -> Hours:
    return Hours()
