"""The order in which a page is read and walked through by keys: rows from the top, each from the left."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from collections.abc import Sequence

SAME_ROW = 0.5
"""Share of the lower one's height at which two beside each other stand in one row."""


def in_reading_order(widgets: Sequence[QWidget]) -> list[QWidget]:
    """Return siblings in the order in which they are read."""
    left = sorted(widgets, key=lambda one: (one.y(), one.x()))
    found: list[QWidget] = []
    while left:
        first = left[0]
        row = [one for one in left if _beside(first, one)]
        found += sorted(row, key=QWidget.x)
        left = [one for one in left if one not in row]
    return found


def _beside(first: QWidget, other: QWidget) -> bool:
    top, bottom = max(first.y(), other.y()), min(first.geometry().bottom(), other.geometry().bottom())
    return first is other or bottom - top >= SAME_ROW * min(first.height(), other.height())


def takes_key(widget: QWidget) -> bool:
    """Tell whether Tab stops at a widget."""
    by_tab = bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus)
    return by_tab and widget.isEnabled() and widget.focusProxy() is None
