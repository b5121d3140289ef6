"""What a screen reader is told of a window, and what is painted in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from unittest.mock import patch

from PySide6.QtCore import QPoint
from PySide6.QtGui import QAccessible, QAccessibleInterface, QPainter, QPixmap, QRegion
from PySide6.QtWidgets import QWidget

from shopclock.views.button import SIGNS
from shopclock.widgets.accessible import heard, shown_children
from shopclock.widgets.clock_face import ClockFace

if TYPE_CHECKING:
    from collections.abc import Iterator

CUT = "\N{HORIZONTAL ELLIPSIS}"
Role = QAccessible.Role
HOLDERS = {Role.Client, Role.Grouping, Role.LayeredPane, Role.List}
"""What only holds other things needs no name."""


@dataclass(frozen=True)
class Told:
    """A thing in the tree: role, name, description, how many are in it, and what is so of it."""

    role: QAccessible.Role
    name: str
    description: str
    children: int
    disabled: bool
    checkable: bool
    checked: bool
    focusable: bool
    actions: tuple[str, ...]


def told(interface: QAccessibleInterface) -> Iterator[Told]:
    """Yield what can be seen of a tree, from its root on."""
    state, text = interface.state(), QAccessible.Text
    if state.invisible:
        return
    acts = interface.actionInterface()
    yield Told(
        interface.role(),
        interface.text(text.Name),
        interface.text(text.Description),
        interface.childCount(),
        bool(state.disabled),
        bool(state.checkable),
        bool(state.checked or state.selected),
        bool(state.focusable),
        tuple(acts.actionNames()) if acts is not None else (),
    )
    for number in range(interface.childCount()):
        child = interface.child(number)
        assert interface.indexOfChild(child) == number
        yield from told(child)


def tree(window: QWidget) -> list[Told]:
    """All that is told of a window now."""
    return list(told(QAccessible.queryAccessibleInterface(window)))


def all_shown(widget: QWidget) -> Iterator[QWidget]:
    """Yield a widget and what stands on it and isn't covered."""
    yield widget
    for child in shown_children(widget):
        yield from all_shown(child)


def painted(window: QWidget) -> set[str]:
    """Each line of text that is painted now; the digits of the clock, which are told in words, are left out."""
    found: set[str] = set()
    draw = QPainter.drawText

    def noting(self: QPainter, *given: object) -> object:
        found.update(one for one in given if isinstance(one, str))
        return draw(self, *given)

    with patch.object(QPainter, "drawText", noting):
        for widget in all_shown(window):
            if not isinstance(widget, ClockFace) and widget.width() and widget.height():
                picture = QPixmap(widget.size())
                widget.render(picture, QPoint(), QRegion(), QWidget.RenderFlag.DrawWindowBackground)
    return found


def untold(window: QWidget, all_told: list[Told]) -> list[str]:
    """Painted lines that no name or description in the tree holds."""
    said = [_bare(f"{one.name} {one.description}") for one in all_told]
    lines = {line: _bare(heard(SIGNS.get(line, line.rstrip(CUT)))) for line in painted(window)}
    return [line for line, bare in lines.items() if not any(bare in one for one in said)]


def _bare(text: str) -> str:
    return "".join(text.split())
