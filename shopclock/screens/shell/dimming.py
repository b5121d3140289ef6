"""Dimming of a screen that nobody needs: full screen, nothing running, left alone for long."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QTouchEvent

from shopclock.shop.state import settings
from shopclock.shop.state.wording import clock_time, shop_time, zone_of
from shopclock.views.fit import TextBox
from shopclock.widgets.accessible import Cover
from shopclock.widgets.drawing import CENTRE, PaintedGround, draw_fitted
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QKeyEvent, QMouseEvent, QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.record.press.record import Record
    from shopclock.widgets.frame import Frame
    from shopclock.widgets.style import Style

DARK, FAINT = "#000000", "#3A4258"
"""Ground and figures of a dimmed screen: to be found in the dark, no light to work by."""
MINUTE_US = 60_000_000


class DimmedScreen(Cover, PaintedGround):
    """Black, with the time in faint figures. `woken`: a finger, the mouse or a key has come and gone on it."""

    woken = Signal()

    def __init__(self, look: Style, window: QWidget) -> None:
        super().__init__(look, window)
        self._time = ""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("The screen is dimmed. Any press wakes it and does nothing else.")
        self.hide()

    def show_time(self, time: str) -> None:
        """Show this time."""
        if time != self._time:
            self._time = time
            self.setAccessibleDescription(time)
            self.update()

    def reader_press(self) -> Callable[[], object] | None:
        """A press wakes it."""
        return self.woken.emit

    def event(self, event: QEvent) -> bool:
        """A finger wakes it when it is lifted."""
        if isinstance(event, QTouchEvent):
            if event.type() == QEvent.Type.TouchEnd:
                self.woken.emit()
            event.accept()
            return True
        return super().event(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Keep it from what lies under it."""
        event.accept()

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """A mouse wakes it too."""
        self.woken.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Nothing of a key goes on to what lies under it."""
        event.accept()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """A key wakes it when it is let go."""
        event.accept()
        if not event.isAutoRepeat():
            self.woken.emit()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Black, and the time."""
        px = round(self.height() * 0.12)
        box = TextBox(self.width(), self.height(), px, px, px, lines=1)
        with QPainter(self) as p:
            p.fillRect(self.rect(), QColor(DARK))
            time = self._look.fitted(self._time, box, Weight.MEDIUM)
            draw_fitted(p, QRectF(self.rect()), time, self._look, Weight.MEDIUM, FAINT, CENTRE)


class Dimming(QObject):
    """Dims a full screen once nothing runs or spoils (`busy`) and nobody has touched anything for as long as is set."""

    def __init__(self, frame: Frame, look: Style, record: Record, busy: Callable[[], bool]) -> None:
        super().__init__(frame)
        self._frame = frame
        self._look = look
        self._record = record
        self._busy = busy
        self._touches = look.touches
        self._since_us = record.clock.moment().boot_us
        self.screen = DimmedScreen(look, frame)
        self.screen.woken.connect(self.wake)
        frame.installEventFilter(self)
        record.on_change(self.wake)

    def tick(self) -> None:
        """Look whether anything was touched, and whether it is time."""
        now_us = self._record.clock.moment().boot_us
        if self._look.touches != self._touches or self._busy() or not self._frame.isFullScreen():
            self.wake()
        after_us = settings.value(self._record.floor, settings.DIM_MIN) * MINUTE_US
        if self.screen.isVisible():
            self._tell_time()
        elif after_us and now_us - self._since_us >= after_us:
            self._dim()

    def wake(self) -> None:
        """Bring back what was there, and count anew."""
        self._touches, self._since_us = self._look.touches, self._record.clock.moment().boot_us
        if self.screen.isVisible():
            self.screen.hide()
            self.screen.let_keyboard_go()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the size of the window."""
        if event.type() == QEvent.Type.Resize:
            self.screen.setGeometry(self._frame.rect())
        return super().eventFilter(watched, event)

    def _dim(self) -> None:
        self._tell_time()
        self.screen.setGeometry(self._frame.rect())
        self.screen.show()
        self.screen.raise_()
        self.screen.hold_keyboard()

    def _tell_time(self) -> None:
        now = shop_time(self._record.instant(), zone_of(self._record.floor))
        self.screen.show_time(clock_time(now))
