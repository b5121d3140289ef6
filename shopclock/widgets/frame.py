"""The shell of the window: header, the screen in sight, and the layer for questions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QLayout, QStackedWidget, QVBoxLayout, QWidget

from shopclock.views.dialogs import Choice
from shopclock.widgets.accessible import Accessible, Role, install, stops, stops_near
from shopclock.widgets.header import Header
from shopclock.widgets.overlay import Overlay
from shopclock.widgets.overlay_dialogs import OverlayDialogs
from shopclock.widgets.stylesheet import stylesheet

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QCloseEvent, QKeyEvent, QPaintEvent, QResizeEvent

    from shopclock.widgets.style import Style
    from shopclock.widgets.work_bar import WorkBar

MANUAL = "manual"
"""The key of the manual among the choices of *Menu*."""


class Frame(Accessible, QWidget):
    """Holds one widget a screen and shows one of them. It decides nothing.

    `tab_pressed` says what was pressed, `help_wanted` that it was the manual of the screen in sight; `may_close` is
    asked before the window closes, `keep_full_screen` is told when F11 or Esc changes that. `header_kept` says that
    what covers the window leaves the header free from now on, or no more.
    """

    tab_pressed = Signal(str)
    page_shown = Signal(str)
    header_kept = Signal()
    help_wanted = Signal()

    def __init__(self, look: Style, tabs: Sequence[tuple[str, str]], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        install()
        self._look = look
        self._labels = dict(tabs)
        self._pages: dict[str, QWidget] = {}
        self._current = ""
        self.header = Header(look, tabs)
        self._stack = QStackedWidget()
        self._bare = False
        self._kept = False
        self._bar: WorkBar | None = None
        self.may_close: Callable[[], bool] = lambda: True
        self.keep_full_screen: Callable[[bool], None] = self.set_full_screen
        self._lay_out()
        self.overlay = Overlay(look, self)
        self.dialogs = OverlayDialogs(look, self.overlay)
        self.header.tab_pressed.connect(self.tab_pressed)
        self.header.menu_pressed.connect(self._open_menu)
        self.header.help_pressed.connect(self.help_wanted)
        look.changed.connect(self._redress)
        self._redress()

    @property
    def current(self) -> str:
        """The key of the screen in sight; empty when there is none yet."""
        return self._current

    def set_page(self, key: str, page: QWidget) -> None:
        """Give the screen of this key its widget."""
        self._pages[key] = page
        page.setAccessibleName(self._labels.get(key, ""))
        self._current = self._current or key
        self._stack.addWidget(page)
        page.resize(self._stack.size())  # it may be drawn before it is shown

    def show_page(self, key: str) -> None:
        """Bring a screen in sight."""
        self._current = key
        self._stack.setCurrentWidget(self._pages[key])
        self.header.set_current(key)
        self.page_shown.emit(key)

    def set_bare(self, bare: bool) -> None:  # one plain switch
        """Leave the header out: the far view has the whole window."""
        self._bare = bare
        self.header.setVisible(self._kept or not bare)

    def keep_header(self, keep: bool) -> None:  # one plain switch
        """Have what covers the window leave the header free, with what runs and nothing else to be pressed."""
        if keep == self._kept:
            return
        self._kept = keep
        self.header.set_alone(keep)
        self.set_bare(self._bare)
        self.overlay.top = self.covers_from
        self.overlay.fill()
        self.header_kept.emit()

    @property
    def covers_from(self) -> int:
        """Height of the window that stays free above what covers it, px."""
        return self.header.sizeHint().height() if self._kept else 0

    def show_work(self, words: str, share: float | None, cancel: Callable[[], None] | None) -> None:
        """Have a bar say what long work is going on: in the header, or at the bottom where there is none yet."""
        if self._bar is None:
            from shopclock.widgets.work_bar import WorkBar

            self._bar = WorkBar(self._look, self)
        self._bar.show_work(words, share, cancel)
        in_header = self._bare or self.header.isVisibleTo(self)
        margin = 0 if in_header else self._look.sizes.margin
        self._bar.setContentsMargins(margin, 0, margin, margin)
        self.header.set_bar(self._bar if in_header else None)
        if not in_header:
            self._column.addWidget(self._bar)
            self._bar.show()

    def hide_work(self) -> None:
        """No long work is going on."""
        if self._bar is not None:
            self.header.set_bar(None)
            self._column.removeWidget(self._bar)
            self._bar.hide()

    def paint_now(self) -> None:
        """Paint the header now, where the bar is: what goes on keeps the loop from doing so."""
        self.header.repaint()

    def set_full_screen(self, on: bool) -> None:  # one plain switch
        """Have the whole screen without a frame, or a window as it was before."""
        if self.isVisible() and on != self.isFullScreen():
            self.setWindowState(self.windowState() ^ Qt.WindowState.WindowFullScreen)

    def leave(self) -> None:
        """Close without asking: it is settled already."""
        self.may_close = lambda: True
        self.close()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """F1 opens the manual; F11 takes and leaves the whole screen, Esc leaves it where there is nothing else."""
        full = self.isFullScreen()
        if event.key() == Qt.Key.Key_F11 and not event.isAutoRepeat():
            self.keep_full_screen(not full)
        elif event.key() == Qt.Key.Key_F1 and not event.isAutoRepeat() and self.overlay.panel is None:
            self.help_wanted.emit()
        elif event.key() == Qt.Key.Key_Escape and full:
            self.keep_full_screen(False)
        else:
            super().keyPressEvent(event)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Stay where it may not close yet."""
        event.setAccepted(self.may_close())

    def event(self, event: QEvent) -> bool:
        """Note when somebody begins to move by keyboard."""
        if event.type() == QEvent.Type.KeyPress:
            self._look.by_keyboard = True
        return super().event(event)

    def reader_role(self) -> Role:
        """A window."""
        return Role.Window

    def focusNextPrevChild(self, next_one: bool) -> bool:  # Qt's own signature
        """Walk by Tab as one reads, and never to what is covered."""
        there, now = stops(self), self.focusWidget()
        if now not in there:  # it has just gone, or is a page: on from where it was
            there = stops_near(now) or there
        at = there.index(now) if now in there else (-1 if next_one else 0)
        reason = Qt.FocusReason.TabFocusReason if next_one else Qt.FocusReason.BacktabFocusReason
        if there:
            there[(at + (1 if next_one else -1)) % len(there)].setFocus(reason)
        return True

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """All sizes follow the window."""
        self._look.resize(self.width(), self.height())
        self.overlay.top = self.covers_from
        self.overlay.fill()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Fill the ground."""
        with QPainter(self) as p:
            p.fillRect(self.rect(), QColor(self._look.theme.ground))

    def _lay_out(self) -> None:
        self._column = column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        column.addWidget(self.header)
        column.addWidget(self._stack, 1)

    def _open_menu(self) -> None:
        here = self.current
        choices = [Choice(key, label, checked=key == here) for key, label in self._labels.items()]
        choices.append(Choice(MANUAL, "Manual", "of this screen"))
        self.dialogs.ask("Where to", choices, self._menu_answer)

    def _menu_answer(self, key: str | None) -> None:
        if key == MANUAL:
            self.help_wanted.emit()
        elif key is not None:
            self.tab_pressed.emit(key)

    def _redress(self) -> None:
        sheet = stylesheet(self._look.theme, self._look.sizes)
        if sheet != self.styleSheet():
            self.setStyleSheet(sheet)
        self.update()
