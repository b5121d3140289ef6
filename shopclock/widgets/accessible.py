"""Painted controls as a screen reader is told of them: role, name, state, what can be pressed, every painted text.

Qt asks for an interface of a widget when a screen reader, or a test, first looks at it; without one nothing here runs.
"""

from __future__ import annotations

import re
import sys
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple, cast

from PySide6.QtCore import QPoint, QRect, Qt, QTimer
from PySide6.QtGui import (
    QAccessible,
    QAccessibleActionInterface,
    QAccessibleAnnouncementEvent,
    QAccessibleInterface,
    QAccessibleStateChangeEvent,
    QColor,
)
from PySide6.QtWidgets import QAccessibleWidget, QWidget
from shiboken6 import isValid

from shopclock.widgets.reading_order import in_reading_order, takes_key

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtCore import QObject
    from PySide6.QtGui import QWindow

Role = QAccessible.Role
BY_NOTICE = sys.platform.startswith("linux")
"""Orca of Debian 12 (43.1, tried) hears no announcements, but notifications that come into sight."""
NOTICED_MS = 5_000
PRESS = QAccessibleActionInterface.pressAction()
NOTHING: Any = None
"""What Qt takes for an interface that isn't there; its types don't say so."""


class Part(NamedTuple):
    """A painted text that is no widget: what it says, where it stands in its widget, px, and its role."""

    text: str
    rect: QRect
    role: QAccessible.Role = Role.StaticText


class Accessible:
    """Mixin of a widget that says more of itself than Qt knows; name and description are the widget's own."""

    def reader_role(self) -> QAccessible.Role:
        """Role that it has."""
        return Role.Grouping

    def reader_state(self, _state: QAccessible.State) -> None:
        """Say what else is so of it than Qt knows."""

    def reader_press(self) -> Callable[[], object] | None:
        """Act of a press on it; nothing where it can't be pressed."""
        return None

    def reader_parts(self) -> Sequence[Part]:
        """Texts that it paints beside its name."""
        return ()

    def reader_order(self, shown: list[QWidget]) -> list[QWidget]:
        """Order in which what stands on it is read."""
        return in_reading_order(shown)


class Cover(Accessible):
    """Mixin of a widget that covers its parent while it is shown: what lies under it is not told of, nor pressed.

    It paints all of its ground, so that what lies under it is not painted either.
    """

    _held_from: QWidget | None = None

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        here = cast("QWidget", self)
        here.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        here.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)

    def hold_keyboard(self) -> None:
        """Take the keyboard from what is covered now."""
        here = cast("QWidget", self)
        self._held_from = here.window().focusWidget()
        here.setFocus(Qt.FocusReason.PopupFocusReason)

    def let_keyboard_go(self) -> None:
        """Give the keyboard back to where it was, if that is there still."""
        before, self._held_from = self._held_from, None
        if before is not None and isValid(before) and before.isVisible() and not covered(before):
            before.setFocus(Qt.FocusReason.PopupFocusReason)


def covered(widget: QWidget) -> bool:
    """Tell whether a cover lies over a widget."""
    child = widget
    while (parent := child.parentWidget()) is not None:
        if _lies_under(child, parent.children()):
            return True
        child = parent
    return False


def _lies_under(widget: QWidget, siblings: Sequence[QObject]) -> bool:
    """Tell whether one of the siblings above a widget covers it, even in part: two halves can cover a whole."""
    above = siblings[siblings.index(widget) + 1 :]
    covers = (one for one in above if isinstance(one, QWidget) and isinstance(one, Cover) and one.isVisible())
    return any(cover.geometry().intersects(widget.geometry()) for cover in covers)


def shown_children(widget: QWidget) -> list[QWidget]:
    """Return what can be seen on a widget, in the order in which it is read: nothing under a cover."""
    children = widget.children()
    shown = [one for one in children if isinstance(one, QWidget) and one.isVisible() and not one.isWindow()]
    there = [one for one in shown if not _lies_under(one, children)]
    return widget.reader_order(there) if isinstance(widget, Accessible) else in_reading_order(there)


def stops(widget: QWidget) -> list[QWidget]:
    """Return where Tab stops on a widget, in the order in which it is read."""
    found: list[QWidget] = []
    for child in shown_children(widget):
        found += [child, *stops(child)] if takes_key(child) else stops(child)
    return found


def stops_near(widget: QWidget | None) -> list[QWidget]:
    """Return where Tab stops on a widget, or on the nearest thing in sight that it stands on."""
    holder = widget
    while holder is not None:
        if holder.isVisible() and not covered(holder) and (found := stops(holder)):
            return found
        holder = holder.parentWidget()
    return []


def heard(text: str) -> str:
    """Return a painted text as it is read aloud: dots between its parts would be named."""
    return re.sub(r"\s*·\s*", ", ", text)


def announce(widget: QWidget, words: str, *, urgent: bool = False) -> None:
    """Have a screen reader say this once, in the midst of what it says where it is `urgent`."""
    if not words or not QAccessible.isActive():
        return
    if BY_NOTICE:
        Notice(widget.window(), heard(words)).show()
        return
    said = QAccessibleAnnouncementEvent(widget, heard(words))
    polite = QAccessible.AnnouncementPoliteness
    said.setPoliteness(polite.Assertive if urgent else polite.Polite)
    QAccessible.updateAccessibility(said)


def tell_checked(widget: QWidget) -> None:
    """Tell a screen reader that a widget was chosen, or is so no more."""
    if QAccessible.isActive():
        changed = QAccessible.State()
        changed.checked = True
        QAccessible.updateAccessibility(QAccessibleStateChangeEvent(widget, changed))


class Notice(Accessible, QWidget):
    """Words that come into sight for a screen reader alone, over all covers, and go again.

    Each is a thing of its own: a reader keeps the name of one that it knows.
    """

    def __init__(self, window: QWidget, words: str) -> None:
        super().__init__(window)
        self.resize(1, 1)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAccessibleName(words)
        QTimer.singleShot(NOTICED_MS, self, self.deleteLater)

    def reader_role(self) -> QAccessible.Role:
        """Role of what a screen reader says by itself."""
        return Role.Notification


@cache
def install() -> None:
    """Have Qt ask here, once for the process, what a widget is."""
    QAccessible.installFactory(_interface)


def _interface(_class_name: str, thing: QObject) -> QAccessibleInterface | None:
    return _WidgetInterface(thing) if isinstance(thing, QWidget) and isinstance(thing, Accessible) else None


class _WidgetInterface(QAccessibleWidget):
    """A widget that is `Accessible` as it is told of."""

    def __init__(self, widget: QWidget) -> None:
        super().__init__(widget)
        self._told: tuple[Part, ...] = ()
        self._parts: list[_PartInterface] = []
        widget.destroyed.connect(_dropping(self._parts))

    def _accessible(self) -> Accessible:
        return cast("Accessible", self.widget())

    def role(self) -> QAccessible.Role:
        return self._accessible().reader_role()

    def text(self, which: QAccessible.Text) -> str:
        return heard(super().text(which))

    def state(self) -> QAccessible.State:
        state = super().state()
        self._accessible().reader_state(state)
        if covered(self.widget()):
            state.disabled = state.invisible = True
            state.focusable = state.focused = False
        return state

    def childCount(self) -> int:
        return len(self._children())

    def child(self, index: int) -> QAccessibleInterface:
        children = self._children()
        if not 0 <= index < len(children):
            return cast("QAccessibleInterface", NOTHING)
        found = children[index]
        return QAccessible.queryAccessibleInterface(found) if isinstance(found, QWidget) else found

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        children = self._children()
        wanted = child if isinstance(child, _PartInterface) else child.object()
        return children.index(wanted) if wanted in children else -1

    def actionNames(self) -> list[str]:
        if not self._live():
            return []
        names = super().actionNames()
        return names if self._accessible().reader_press() is None else [PRESS, *names]

    def doAction(self, name: str) -> None:
        if not self._live():
            return
        press = self._accessible().reader_press()
        if name == PRESS and press is not None:
            QTimer.singleShot(0, self.widget(), press)  # it may take the widget away that is being asked
        else:
            super().doAction(name)

    def keyBindingsForAction(self, _name: str) -> list[str]:
        return []

    def _live(self) -> bool:
        return self.widget().isEnabled() and self.widget().isVisible() and not covered(self.widget())

    def _children(self) -> list[QWidget | _PartInterface]:
        told = tuple(part for part in self._accessible().reader_parts() if part.text)
        if told != self._told:
            _drop(self._parts)
            self._parts += [_PartInterface(self.widget(), part) for part in told]
            self._told = told
        return [*self._parts, *shown_children(self.widget())]


class _PartInterface(QAccessibleInterface):
    """A painted text as it is told of. Qt keeps it until it is dropped, and asks it last when its widget is gone."""

    def __init__(self, widget: QWidget, part: Part) -> None:
        super().__init__()
        self._widget = widget
        self._part = part

    def isValid(self) -> bool:
        return isValid(self._widget)

    def object(self) -> QObject:
        return cast("QObject", NOTHING)

    def window(self) -> QWindow:
        return self._widget.window().windowHandle() if self.isValid() else cast("QWindow", NOTHING)

    def parent(self) -> QAccessibleInterface:
        there = QAccessible.queryAccessibleInterface(self._widget) if self.isValid() else NOTHING
        return cast("QAccessibleInterface", there)

    def role(self) -> QAccessible.Role:
        return self._part.role

    def state(self) -> QAccessible.State:
        state = QAccessible.State()
        state.invisible = not self.isValid() or not self._widget.isVisible() or covered(self._widget)
        return state

    def text(self, which: QAccessible.Text) -> str:
        return heard(self._part.text) if which == QAccessible.Text.Name else ""

    def setText(self, _which: QAccessible.Text, _text: str) -> None:
        return None

    def rect(self) -> QRect:
        return self._part.rect.translated(self._widget.mapToGlobal(QPoint())) if self.isValid() else QRect()

    def childCount(self) -> int:
        return 0

    def child(self, _index: int) -> QAccessibleInterface:
        return cast("QAccessibleInterface", NOTHING)

    def childAt(self, _x: int, _y: int) -> QAccessibleInterface:
        return cast("QAccessibleInterface", NOTHING)

    def indexOfChild(self, _child: QAccessibleInterface) -> int:
        return -1

    def focusChild(self) -> QAccessibleInterface:
        return cast("QAccessibleInterface", NOTHING)

    def relations(self, _match: QAccessible.RelationFlag = QAccessible.RelationFlag.AllRelations) -> Any:
        return []

    def foregroundColor(self) -> QColor:
        return QColor()

    def backgroundColor(self) -> QColor:
        return QColor()


def _dropping(parts: list[_PartInterface]) -> Callable[[], None]:
    return lambda: _drop(parts)


def _drop(parts: list[_PartInterface]) -> None:
    for part in parts:
        QAccessible.deleteAccessibleInterface(QAccessible.uniqueId(part))
    parts.clear()
