"""Rules that hold for what is told of a window, whatever it shows."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from PySide6.QtGui import QAccessible

from shopclock.widgets.accessible import covered, stops
from shopclock.widgets.press_button import PressButton
from tests.screens.reader.told import HOLDERS, all_shown, tree, untold

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from tests.screens.reader.told import Told

Role = QAccessible.Role


def nameless(all_told: list[Told]) -> list[str]:
    """What has no role, or no name and is no mere holder of what has."""
    wrong = (one for one in all_told if one.role is Role.NoRole or not (one.name or one.role in HOLDERS))
    return [f"{one.role.name} with {one.children}" for one in wrong]


def wrongly_stated(window: QWidget) -> list[str]:
    """Buttons of which a screen reader is told another state than they have, or that it can't press."""
    wrong = []
    for button in (one for one in all_shown(window) if isinstance(one, PressButton)):
        interface = QAccessible.queryAccessibleInterface(button)
        state, enabled = interface.state(), button.state.enabled
        chosen = bool(state.checked or state.selected)
        pressed = "Press" in interface.actionInterface().actionNames()
        if (not state.disabled, pressed, chosen) != (enabled, enabled, bool(button.state.checked)):
            wrong.append(button.state.title)
    return wrong


def out_of_order(window: QWidget) -> list[str]:
    """Where Tab stops though it is covered, or twice, or after what stands wholly below it in its own column."""
    there = stops(window)
    wrong = [one.accessibleName() for one in there if covered(one) or there.count(one) > 1]
    for before, after in combinations(there, 2):
        low, high = before.geometry(), after.geometry()
        over = low.left() <= high.right() and high.left() <= low.right() and high.bottom() < low.top()
        if before.parentWidget() is after.parentWidget() and over:
            wrong.append(f"{after.accessibleName()} after {before.accessibleName()}")
    return wrong if there else ["nothing to stop at"]


def wrong_in(window: QWidget) -> dict[str, list[str]]:
    """All that is wrong with what is told of a window now."""
    all_told = tree(window)
    found = {
        "nameless": nameless(all_told),
        "wrongly stated": wrongly_stated(window),
        "out of order": out_of_order(window),
        "untold": untold(window, all_told),
    }
    return {what: which for what, which in found.items() if which}
