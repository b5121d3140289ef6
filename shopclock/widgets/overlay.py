"""The layer over the whole window that one question at a time is put on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QVBoxLayout, QWidget
from shiboken6 import isValid

from shopclock.widgets.accessible import Cover, Role
from shopclock.widgets.drawing import PaintedGround
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent, QPaintEvent

    from shopclock.widgets.panels import Panel
    from shopclock.widgets.style import Style


class Overlay(Cover, PaintedGround):
    """Covers its parent while it holds a panel. What lies under it gets no press and no key.

    `top` is how much of the window stays free above it, px. `turned` says that a panel has come, or the last has gone.
    """

    left = Signal()
    turned = Signal()

    def __init__(self, look: Style, parent: QWidget) -> None:
        super().__init__(look, parent)
        self._window = parent
        self._panel: Panel | None = None
        self.top = 0
        self._has_keyboard = False
        self._focus_before: QWidget | None = None
        self._focus_left: QWidget | None = None
        self._column = QVBoxLayout(self)
        self.hide()

    @property
    def panel(self) -> Panel | None:
        """Panel that is asked now."""
        return self._panel

    def open(self, panel: Panel) -> None:
        """Cover the window with this panel."""
        if not self._has_keyboard:
            self._focus_before, self._has_keyboard = self.window().focusWidget(), True
        self._panel = panel
        self.setAccessibleName(panel.accessibleName())
        margin = self._look.sizes.margin
        self._column.setContentsMargins(margin, margin, margin, margin)
        self._column.addWidget(panel)
        self.fill()
        self.show()
        self.raise_()
        for button in panel.findChildren(PressButton):
            button.hold_off()
        panel.setFocus(Qt.FocusReason.PopupFocusReason)
        self.turned.emit()

    def fill(self) -> None:
        """Cover the window, but what stays free of it."""
        self.setGeometry(self._window.rect().adjusted(0, self.top, 0, 0))

    def close_panel(self) -> None:
        """Uncover the window. The keyboard is given back by a call of its own, once the answer is where it belongs."""
        if self._panel is None:
            return
        holding: QWidget | None = self.window().focusWidget()
        if holding is not None and self.isAncestorOf(holding):
            holding.clearFocus()  # else Qt gives it to whatever comes next
        self._column.removeWidget(self._panel)
        self._panel.hide()
        self._panel.deleteLater()
        self._panel = None
        self.hide()
        self._focus_left = self.window().focusWidget()
        self.turned.emit()

    def give_back_keyboard(self) -> None:
        """Put the keyboard where it was before the first panel, unless the answer has put it somewhere."""
        before, left = self._focus_before, self._focus_left
        self._focus_before, self._focus_left, self._has_keyboard = None, None, False
        if before is not None and isValid(before) and self.window().focusWidget() is left:
            before.setFocus(Qt.FocusReason.PopupFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape goes back; every other key stays here."""
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        event.accept()

    def reader_role(self) -> Role:
        """A dialog."""
        return Role.Dialog

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Nothing of what is under it shows through."""
        with QPainter(self) as p:
            p.fillRect(self.rect(), QColor(self.surface().ground))
