"""The Bench drawn at all four sizes, in both themes and both size settings: nothing is cut off or overlaps."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QRect
from PySide6.QtWidgets import QWidget

from shopclock.screens.bench.layout import LOW_MM
from shopclock.screens.bench.screen import BenchScreen
from shopclock.screens.bench.state import Verb
from shopclock.views.metrics import CLOCK_DIGIT_MM
from shopclock.widgets.clock_face import ClockFace
from shopclock.widgets.labels import Label
from shopclock.widgets.letters import LetterRow
from shopclock.widgets.plate import ProgressLine
from shopclock.widgets.press_button import PressButton
from tests.looks import SCREENS
from tests.screens.bench.stories import STATES

if TYPE_CHECKING:
    from collections.abc import Callable

    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style
    from tests.screens.bench.workshop import Workshop

LEAVES = (PressButton, Label, ClockFace, ProgressLine)


def leaves(screen: BenchScreen) -> list[QWidget]:
    """What is drawn and pressed, without what holds it."""
    return [w for w in screen.findChildren(QWidget) if isinstance(w, LEAVES) and w.isVisible()]


def place(widget: QWidget, screen: BenchScreen) -> QRect:
    return QRect(widget.mapTo(screen, widget.rect().topLeft()), widget.size())


def cut_texts(widgets: list[QWidget]) -> list[str]:
    """Every text that had to be cut."""
    said = [w.text for w in widgets if isinstance(w, Label) and w.text and w.fitted().cut]
    buttons = [w for w in widgets if isinstance(w, PressButton)]
    return said + [" ".join(t.text.lines) for b in buttons for t in b.texts() if t.text.cut]


@pytest.mark.parametrize("name", [name for name in STATES if name != "far"])
def test_nothing_is_cut_off_or_overlaps_at_any_size(
    shop: Workshop, make_look: Callable[..., Style], qtbot: QtBot, name: str
) -> None:
    STATES[name](shop)
    shop.bench.wake()
    for size in SCREENS:
        for gloves in (False, True):
            for theme in ("dark", "paper"):
                look = make_look(*size, theme, gloves=gloves)
                screen = BenchScreen(look, shop.bench, shop.clock.moment)
                qtbot.addWidget(screen)
                screen.resize(look.sizes.width, look.sizes.height - look.sizes.header)
                screen.show()
                screen.refresh()
                check(screen, look, f"{name} {size} gloves={gloves} {theme}")
                screen.hide()


def check(screen: BenchScreen, look: Style, where: str) -> None:
    found = leaves(screen)
    assert found
    assert cut_texts(found) == [], where
    rects = [(w, place(w, screen)) for w in found]
    for (one, a), (other, b) in combinations(rects, 2):
        assert not a.intersects(b), (where, one, a, other, b)
    assert all(screen.rect().contains(rect) for _, rect in rects), where
    for widget, rect in rects:
        if isinstance(widget, PressButton):
            method = widget.state.verb in (Verb.METHOD, Verb.METHODS)  # never gives way, but may be lower
            least = look.sizes.px(LOW_MM) if method else look.sizes.touch
            assert rect.width() >= look.sizes.touch - 1, (where, widget, rect)
            assert rect.height() >= least - 1, (where, widget, rect)
        if isinstance(widget, ClockFace):
            assert widget.digit_height() >= CLOCK_DIGIT_MM * look.sizes.px_mm, where
    assert not any(row.isVisible() and row.collapsed for row in screen.findChildren(LetterRow)), where
