"""Sight of what runs on every screen: in the header, and from afar once nobody is there; pedals work there too."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication, QLineEdit

from shopclock.screens.bench.far_view import FarView
from shopclock.screens.bench.pedals import Pedals

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.bench.at_bench import AtBench
    from shopclock.screens.bench.presenter import BenchPresenter
    from shopclock.shop.values.clock import Moment
    from shopclock.views.button import Now, Press
    from shopclock.widgets.frame import Frame
    from shopclock.widgets.style import Style

BENCH = "bench"
"""The key of the screen that shows what runs by itself, and has a far view of its own."""


class Everywhere(QObject):
    """Keeps the header, the far view over other screens and the pedals true. `alarmed`: an alarm has the screen."""

    def __init__(self, frame: Frame, look: Style, at_bench: AtBench, now: Now, alarmed: Callable[[], bool]) -> None:
        super().__init__(frame)
        self._frame = frame
        self._look = look
        self._at_bench = at_bench
        self._now = now
        self._alarmed = alarmed
        self._touches = look.touches
        self._typed = ""
        self.pedals = Pedals(frame, look, at_bench, now)
        self._fars: dict[int, FarView] = {}
        frame.header.now = now
        frame.header.stop_pressed.connect(self._stop)
        frame.installEventFilter(self)
        frame.page_shown.connect(lambda _key: self.tick())
        frame.overlay.turned.connect(self.tick)
        at_bench.record.on_change(self.refresh)
        at_bench.on_change(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show what is so now."""
        if self._at_bench.pressing:
            return
        self.pedals.refresh()
        self.tick()

    def tick(self) -> None:
        """Let the clock go on, and look whether somebody is there."""
        now_us, shown = self._at_bench.instant(), self._at_bench.shown
        if self._somebody() and self._frame.current != BENCH:
            self._at_bench.wake(self._now())
        covered = len(shown) > 1 and (self._frame.overlay.panel is not None or self._alarmed())
        wanted = (covered or self._frame.current != BENCH or not p.on_plate for p in shown)
        told = [p.in_header(now_us) if there else None for p, there in zip(shown, wanted, strict=True)]
        self._frame.header.set_running(told)
        self._frame.keep_header(covered and any(told))  # what one is asked covers no other's Stop
        far = [p for p in shown if p.is_far(now_us)] if self._frame.current != BENCH and not self._alarmed() else []
        for maker_id, view in self._fars.items():
            if maker_id not in {p.maker_id for p in far}:
                view.hide()
        for number, presenter in enumerate(far):
            self._cover(presenter, (number, len(far)), now_us)

    @property
    def far(self) -> tuple[FarView, ...]:
        """The far views that cover another screen, from left to right."""
        return tuple(view for view in self._fars.values() if view.isVisible())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the size of the window."""
        if event.type() == QEvent.Type.Resize and self.far:
            self.tick()
        return super().eventFilter(watched, event)

    def _cover(self, presenter: BenchPresenter, place: tuple[int, int], now_us: int) -> None:
        """Cover the window, or a part of its width, with a maker's work as it is seen from afar."""
        view, (number, of) = self._fars.get(presenter.maker_id), place
        if view is None:
            view = self._fars[presenter.maker_id] = FarView(self._look, presenter.press, self._now, self._frame)
            view.hide()
            view.left.connect(self._wake)
        wide, high = self._frame.width(), self._frame.height()
        left, right = round(wide * number / of), round(wide * (number + 1) / of)
        view.setGeometry(left, 0, right - left, high)
        view.show_far(presenter.state(now_us))
        view.clock.set_text(presenter.clock(now_us))
        if not view.isVisible():
            view.show()
            view.raise_()

    def _wake(self) -> None:
        self._at_bench.wake(self._now())
        self.tick()

    def _stop(self, press: Press, moment: Moment) -> None:
        """Stop what the maker has under the hands whose Stop was pressed."""
        self._at_bench.of(press.number).press(press, moment)

    def _somebody(self) -> bool:
        """Tell whether anything was touched or typed since the last look."""
        field = QApplication.focusWidget()
        typed = field.text() if isinstance(field, QLineEdit) else ""
        moved = self._look.touches != self._touches or typed != self._typed
        self._touches, self._typed = self._look.touches, typed
        return moved
