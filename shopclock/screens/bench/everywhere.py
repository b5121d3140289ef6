"""Sight of what runs on every screen: in the header, and from afar once nobody is there; pedals work there too."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication, QLineEdit

from shopclock.screens.bench.far_view import FarView
from shopclock.screens.bench.pedals import Pedals

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.bench.presenter import BenchPresenter
    from shopclock.views.button import Now
    from shopclock.widgets.frame import Frame
    from shopclock.widgets.style import Style

BENCH = "bench"
"""The key of the screen that shows what runs by itself, and has a far view of its own."""


class Everywhere(QObject):
    """Keeps the header, the far view over other screens and the pedals true. `alarmed`: an alarm has the screen."""

    def __init__(
        self, frame: Frame, look: Style, presenter: BenchPresenter, now: Now, alarmed: Callable[[], bool]
    ) -> None:
        super().__init__(frame)
        self._frame = frame
        self._look = look
        self._presenter = presenter
        self._now = now
        self._alarmed = alarmed
        self._touches = look.touches
        self._typed = ""
        self._pedals = Pedals(frame, look, presenter, now)
        self.far = FarView(look, presenter.press, now, frame)
        self.far.hide()
        self.far.left.connect(self._wake)
        frame.header.now = now
        frame.header.stop_pressed.connect(presenter.press)
        frame.installEventFilter(self)
        presenter.record.on_change(self.refresh)
        presenter.on_change(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show what is so now."""
        if self._presenter.pressing:
            return
        self._pedals.refresh()
        self.tick()

    def tick(self) -> None:
        """Let the clock go on, and look whether somebody is there."""
        now_us = self._presenter.instant()
        if self._somebody() and self._frame.current != BENCH:
            self._presenter.wake(self._now())
        on_plate = self._frame.current == BENCH and self._presenter.on_plate
        self._frame.header.set_running(None if on_plate else self._presenter.in_header(now_us))
        far = self._frame.current != BENCH and self._presenter.is_far(now_us) and not self._alarmed()
        if far:
            self.far.show_far(self._presenter.state(now_us))
            self.far.clock.set_text(self._presenter.clock(now_us))
        if far != self.far.isVisible():
            self._cover(far)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the size of the window."""
        if event.type() == QEvent.Type.Resize:
            self.far.setGeometry(self._frame.rect())
        return super().eventFilter(watched, event)

    def _cover(self, far: bool) -> None:
        self.far.setGeometry(self._frame.rect())
        self.far.setVisible(far)
        self.far.raise_()

    def _wake(self) -> None:
        self._presenter.wake(self._now())
        self.tick()

    def _somebody(self) -> bool:
        """Tell whether anything was touched or typed since the last look."""
        field = QApplication.focusWidget()
        typed = field.text() if isinstance(field, QLineEdit) else ""
        moved = self._look.touches != self._touches or typed != self._typed
        self._touches, self._typed = self._look.touches, typed
        return moved
