"""Shell around the screens: which is in sight, what a press redraws, what goes on by itself."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QWidget

from shopclock.screens.shell.announcer import Announcer
from shopclock.screens.shell.rest import Rest
from shopclock.screens.shell.sight import Sight
from shopclock.screens.shell.window import system_zone
from shopclock.shop.state import settings
from shopclock.shop.state.demo_mark import IN_SHORT, demo_said
from shopclock.shop.state.desk_copy import at_desk, which_file
from shopclock.shop.state.wording import clock_time, day_text, shop_time, zone_of
from shopclock.shop.values.errors import ShopError
from shopclock.views.metrics import text_scale
from shopclock.widgets.accessible import Accessible

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from shopclock.record.press.record import Record
    from shopclock.widgets.frame import Frame
    from shopclock.widgets.style import Style
    from shopclock.widgets.theme import Theme

TICK_MS = 1000
UNSEEN_TICK_MS = 5000
"""What must not be missed is looked for so often while nobody can see the window."""
FIRST_TICK_MS = 20
"""Ticks begin once the first screen is painted and can be pressed: what watches the clocks is made at the first."""


class Screen(Accessible, QWidget):
    """Screen in the shell: a widget that can be drawn again as the record is now."""

    def refresh(self) -> None:
        """Draw again what the record says now."""
        raise NotImplementedError

    def go_to_front(self) -> None:
        """Leave all pages but the first, where there are pages."""

    def until_tick_ms(self) -> int:
        """Time until what it shows goes on, at most a second, in ms."""
        return TICK_MS


def elsewhere(now: datetime, machine_zone: str) -> str:
    """Say whose time it is where the machine's own clock tells another: on a laptop that travels."""
    if now.utcoffset() == now.astimezone(ZoneInfo(machine_zone)).utcoffset():
        return ""
    return f"  {str(now.tzinfo).rpartition('/')[2].replace('_', ' ')}"


class StatusLine:
    """Holds what several speakers say and shows one of them; it takes no room from the screen in sight."""

    def __init__(self, show: Callable[[str], None]) -> None:
        self._show = show
        self._alarm = ""
        self._copies = ""
        self._server = ""
        self._refused = ""

    def alarm(self, sentence: str) -> None:
        """Say what was seen and is not over; empty when there is nothing."""
        self._alarm = sentence
        self._say()

    def copies(self, sentence: str) -> None:
        """Say what is wrong with the copies; empty when nothing is."""
        self._copies = sentence
        self._say()

    def server(self, sentence: str) -> None:
        """Say what is wrong with the exchange with other benches; empty when nothing is."""
        self._server = sentence
        self._say()

    def refused(self, sentence: str) -> None:
        """Say for a moment why a press was not taken; empty when that is over."""
        self._refused = sentence
        self._say()

    def _say(self) -> None:
        self._show(self._refused or self._alarm or self._copies or self._server)


class Shell(QObject):
    """Shows one screen at a time and keeps it true. Screens are made when they are first shown.

    `bring_back` carries the path of a copy that is to take the record's place once it is closed,
    `open_other` that of a record the window is to open again on.
    """

    bring_back = Signal(object)
    open_other = Signal(object)
    stopped = Signal()

    def __init__(self, frame: Frame, look: Style, record: Record, themes: dict[str, Theme]) -> None:
        super().__init__(frame)
        self._frame = frame
        self._look = look
        self._unmeasured_px_mm = look.sizes.px_mm
        self._record = record
        self._themes = themes
        self._makers: dict[str, Callable[[], Screen]] = {}
        self._screens: dict[str, Screen] = {}
        self._ways: dict[str, Callable[[], None]] = {}
        self._tick_calls: list[Callable[[], None]] = []
        self._seen_calls: list[Callable[[], None]] = []
        self._ticking = False
        self._full = "no"
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._go_on)
        self._sight = Sight(frame)
        self._sight.changed.connect(self._seen_again)
        frame.tab_pressed.connect(self.press_tab)
        frame.keep_full_screen = self._keep_full_screen
        record.on_change(self.refresh)
        frame.header.set_mark(demo_said(record.floor), IN_SHORT)
        self._rest = Rest(record, record.rest, self)
        self._announcer = Announcer(frame, record)

    def add(self, key: str, make: Callable[[], Screen]) -> None:
        """Have a screen under the key of its tab."""
        self._makers[key] = make

    def add_way(self, key: str, go: Callable[[], None]) -> None:
        """Have a way to a page of a screen, which the window can open with."""
        self._ways[key] = go

    def each_tick(self, call: Callable[[], None], *, unseen: bool = False) -> None:
        """Call this about once a second while the window is in sight; every five seconds also where it is `unseen`."""
        (self._tick_calls if unseen else self._seen_calls).append(call)

    def start(self, key: str) -> None:
        """Show a first screen, and begin to tick after it."""
        self.apply_style()
        if key in self._ways:
            self._ways[key]()
        self.show_screen(key)
        self._tell_time()
        self._sight.watch()
        self._ticking = True
        self._timer.start(FIRST_TICK_MS)

    def screen(self, key: str) -> Screen:
        """Return a screen, made when it is first asked for."""
        if key not in self._screens:
            self._screens[key] = self._makers[key]()
            self._frame.set_page(key, self._screens[key])
        return self._screens[key]

    def show_screen(self, key: str) -> None:
        """Bring a screen in sight, as the record is now."""
        if key in self._makers:
            screen = self.screen(key)
            screen.refresh()
            self._frame.show_page(key)

    def press_tab(self, key: str) -> None:
        """Bring a screen in sight; a second press of its tab goes to its front."""
        if key == self._frame.current and key in self._screens:
            self._screens[key].go_to_front()
        self.show_screen(key)

    def refresh(self) -> None:
        """After a press: draw what is in sight again, and the look if it was changed."""
        self.apply_style()
        shown = self._screens.get(self._frame.current)
        if shown is not None:
            shown.refresh()

    def apply_style(self) -> None:
        """Take theme, size and ruler from the record's settings, and say which file this is."""
        floor = self._record.floor
        if (full := settings.value(floor, settings.FULL_SCREEN)) != self._full:
            self._full = full
            self._frame.set_full_screen(full == "yes")
        self._frame.setWindowTitle(f"Shopclock: {demo_said(floor) or which_file(floor)}")
        self._look.set_theme(self._themes[settings.value(floor, settings.THEME)])
        measured = settings.ruler(floor, self._frame.screen().name())
        px_mm = measured if measured is not None else self._unmeasured_px_mm
        sizes = replace(
            self._look.sizes,
            gloves=settings.value(floor, settings.SIZE) == "gloves",
            px_mm=px_mm,
            scale=text_scale(settings.value(floor, settings.TEXT), px_mm),
        )
        self._look.set_sizes(sizes)

    def _keep_full_screen(self, on: bool) -> None:  # one plain switch
        """Take or leave the whole screen, and open so again; at the desk nothing is written of it."""
        self._frame.set_full_screen(on)
        if at_desk(self._record.floor) is None:
            word = settings.FULL_SCREEN.choices[on]
            with suppress(ShopError):  # the window is as was wished all the same
                self._record.press(
                    "Full screen", lambda tx: settings.set_value(tx, settings.FULL_SCREEN, word), undoable=False
                )
        self.refresh()

    def tick(self) -> None:
        """Look at the clocks, tell the time, and let what runs show it. A tick redraws; it never counts."""
        seen = self._sight.seen
        if seen:
            self._tell_time()
        for call in (*self._tick_calls, *(self._seen_calls if seen else ())):
            call()

    def _go_on(self) -> None:
        """Tick, and again when what is in sight goes on: a second that has passed is seen at once."""
        self.tick()
        if self._ticking:
            shown = self._screens.get(self._frame.current)
            in_sight = shown.until_tick_ms() if shown is not None else TICK_MS
            self._timer.start(in_sight if self._sight.seen else UNSEEN_TICK_MS)

    def _seen_again(self, seen: bool) -> None:
        if seen and self._ticking:
            self._timer.start(0)

    def _tell_time(self) -> None:
        now = shop_time(self._record.instant(), zone_of(self._record.floor))
        whose = "Desk's copy  " if at_desk(self._record.floor) is not None else ""
        self._frame.header.set_title(f"{whose}{day_text(now.date())}  {clock_time(now)}{elsewhere(now, system_zone())}")

    def stop(self) -> None:
        """End the ticking, and what goes on beside."""
        self.stopped.emit()
        self._ticking = False
        self._timer.stop()
        self._sight.stop()
        self._rest.stop()
