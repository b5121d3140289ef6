"""A finger on one window: it presses by words what it can reach, and types the few things that are typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit

from shopclock.shop.values.errors import ShopError
from shopclock.widgets.labels import Label
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.rule import RuleFace

if TYPE_CHECKING:
    from collections.abc import Iterator

    from PySide6.QtWidgets import QWidget

    from shopclock.widgets.frame import Frame


class Finger:
    """Presses with the mouse, as a hand does: only what is in sight, enabled and not covered."""

    def __init__(self, frame: Frame) -> None:
        self.frame = frame

    @property
    def reach(self) -> list[str]:
        """Titles of the buttons that can be pressed now."""
        return [button.state.title for button in self._buttons()]

    @property
    def read(self) -> list[str]:
        """The sentences and headings in sight."""
        said = [label.text for label in self.frame.findChildren(Label) if label.text and self._in_sight(label)]
        faces = (face for face in self.frame.findChildren(RuleFace) if self._in_sight(face))
        return said + [line for face in faces for line in face.picture.heading.splitlines()]

    def press(self, words: str) -> None:
        """Press the button that says this, or begins with it."""
        QTest.mouseClick(self._find(words), Qt.MouseButton.LeftButton)
        self.see()

    def left(self, words: str) -> None:
        """Press the button that says this on the left half of the window."""
        self._press_on(words, right=False)

    def right(self, words: str) -> None:
        """Press the button that says this on the right half of the window."""
        self._press_on(words, right=True)

    def _press_on(self, words: str, *, right: bool) -> None:
        middle = self.frame.rect().center().x()
        there = [b for b in self._buttons() if (b.mapTo(self.frame, b.rect().center()).x() > middle) is right]
        found = [b for b in there if b.state.title == words] or [b for b in there if b.state.title.startswith(words)]
        if not found:
            raise ShopError(f"No button says {words} there; there are {', '.join(b.state.title for b in there)}.")
        QTest.mouseClick(found[0], Qt.MouseButton.LeftButton)
        self.see()

    def seek(self, words: str) -> None:
        """Press the button that says this, turning pages until it is in sight."""
        while not self._says(words) and self._says("More"):
            self.press("More")
        self.press(words)

    def touch(self, _where: str = "middle") -> None:
        """Touch the window "in the middle", where there may be no button."""
        middle = self.frame.rect().center()
        self.touch_at(self.frame.childAt(middle) or self.frame)

    def touch_at(self, widget: QWidget) -> None:
        """Touch a widget in its middle."""
        QTest.mouseClick(widget, Qt.MouseButton.LeftButton)
        self.see()

    def type(self, text: str) -> None:
        """Type a name into the field in sight and enter it."""
        for field in self.frame.findChildren(QLineEdit):
            if field.isVisible():
                field.setText(text)
                QTest.keyClick(field, Qt.Key.Key_Return)
        self.see()

    def see(self) -> None:
        """Let the window settle."""
        for _ in range(3):
            QApplication.processEvents()

    def _says(self, words: str) -> PressButton | None:
        """Return the button that says this, or else begins with it; nothing where none is in reach."""
        buttons = list(self._buttons())
        exact = (button for button in buttons if button.state.title == words)
        begins = (button for button in buttons if button.state.title.startswith(words))
        return next(exact, None) or next(begins, None)

    def _find(self, words: str) -> PressButton:
        found = self._says(words)
        if found is not None:
            return found
        buttons = list(self._buttons())
        raise ShopError(f"No button says {words}; there are {', '.join(b.state.title for b in buttons)}.")

    def _buttons(self) -> Iterator[PressButton]:
        for button in self.frame.findChildren(PressButton):
            if button.isEnabled() and self._in_sight(button):
                yield button

    def _in_sight(self, widget: QWidget) -> bool:
        middle = widget.mapTo(self.frame, widget.rect().center())
        return widget.isVisible() and self.frame.childAt(middle) is widget
