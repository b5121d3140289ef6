"""Start of the program up to its first screen: which record, is it free, what if it can't be opened."""

from __future__ import annotations

import gc
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtWidgets import QApplication

from shopclock.screens.shell.window import system_zone
from shopclock.screens.start.one_window import OneWindow
from shopclock.screens.start.tabs_ahead import AWAKE, BENCH, WORKER, TabsAhead
from shopclock.shop.state.desk_copy import at_desk
from shopclock.shop.values.entities import Pattern
from shopclock.shop.values.errors import ShopError
from shopclock.views.dialogs import Choice

if TYPE_CHECKING:
    from shopclock.record.file.refuge import Refuge
    from shopclock.record.file.session import Newest
    from shopclock.record.press.record import Record
    from shopclock.screens.long_work.background import Background
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.screens.shell.shell import Shell
    from shopclock.screens.start.leaving import Leaving
    from shopclock.screens.welcome.screen import WelcomeScreen
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.dialogs import Dialogs
    from shopclock.widgets.frame import Frame
    from shopclock.widgets.style import Style

Build = Callable[["Frame", "Style", "Record", "Dialogs", "WorkRunner"], "Shell"]

BUSY = "One moment: Shopclock is open already, its window is busy."
ELSEWHERE = "It is open on another computer, {machine}. Closed there, it opens here."
ANSWER_MS = 500
"""A window that doesn't hear at once is busy: it is waited for in sight."""
LOOK_AGAIN_MS = 200
LOG_LEFT = (
    "The log that lay beside {path} is not of this state of the record: what was pressed last is not in it. It is kept "
    "as {log}. The newest copy may have more: see Shop, Copies."
)
BRINGING = "One moment: the copy takes the record's place."
LOOKING = "One moment: the record is looked through."
MAKING = "One moment: two years are being invented."


class Again(NamedTuple):
    """Record to open the window on again, and the copy that takes its place before, where one does."""

    record: Path
    copy: Path | None = None


class Opening(QObject):
    """Finds the record, takes it for this window alone, and builds the program on it after the first paint.

    The window is on the screen before the record is read, so that it is there at once. `again` is what the window
    is to open on once it is closed; `given` is that of the window before.
    """

    def __init__(self, frame: Frame, look: Style, build: Build, given: Again | None = None) -> None:
        super().__init__(frame)
        self.exit_code = 0
        self.again: Again | None = None
        self._given = given
        self._trouble = ""
        self._frame = frame
        self._look = look
        self._build = build
        self._background: Background | None = None
        self._leaving: Leaving | None = None
        self._path: Path | None = None
        self._demo_folder: str | None = None
        self._one: OneWindow | None = None
        self._record: Record | None = None
        self._shell: Shell | None = None
        self._ahead: TabsAhead | None = None

    def choose(self, path: Path | None, *, demo: bool) -> bool:
        """Settle which record it will be; False when another window has it and comes to the front."""
        if demo:
            import tempfile

            self._demo_folder = tempfile.mkdtemp(prefix="shopclock-demo-")
            self._path = Path(self._demo_folder) / "demo.shopclock"
            return True
        from shopclock.record.file.place import usual_place

        wanted = path if path is not None else usual_place()
        self._path = wanted if path is not None or _is_something(wanted) else None
        if self._path is None:
            return True
        one = self._hold(self._path)
        return one.take() or not one.raise_other(ANSWER_MS)

    def go_on_when_painted(self) -> None:
        """Read the record once the window has been seen."""
        self._frame.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Wait for the first paint."""
        if event.type() == QEvent.Type.Paint:
            watched.removeEventFilter(self)
            QTimer.singleShot(0, self, self.go_on)
        return False

    def go_on(self) -> None:
        """Open the record, make the demo's first, or ask which it should be."""
        try:
            self._first_screen()
        finally:
            gc.freeze()  # what is there now stays: to look through it each time would hold presses up
            gc.enable()

    def _first_screen(self) -> None:
        if self._one is not None and not self._one.taken:
            self._wait_for_other(self._one, self._first_screen)
            return
        if self._one is not None:
            self._one.listen()
        if self._given is not None and self._given.copy is not None:
            self._bring_back(self._given.record, self._given.copy)
        elif self._path is not None and (refuge := self._refuge(self._path)) is not None:
            self._offer_refuge(self._path, refuge)
        elif self._path is None or self._is_gone(self._path):
            self._welcome()
        elif self._demo_folder is not None:
            self._make_demo(self._path)
        else:
            self._open(self._path, make=self._holds_nothing(self._path))

    def close(self) -> None:
        """Leave everything tidy."""
        if self._ahead is not None:
            self._ahead.stop()
        if self._shell is not None:
            self._shell.stop()
        if self._background is not None:
            self._background.close()
        if self._record is not None:
            self._leave_nothing_behind(self._record)
            self._record.close()
        if self._one is not None:
            self._one.release()
        self._leave_copy()
        if self._demo_folder is not None:
            import shutil

            shutil.rmtree(self._demo_folder, ignore_errors=True)

    def _bring_back(self, path: Path, copy: Path) -> None:
        """Let the copy that was chosen take the record's place; the record opens whatever comes of it."""
        from shopclock.screens.start.bringing_back import put_in_place

        def failed(error: BaseException) -> None:
            self._trouble = str(error)
            self._open(path, make=False)

        self._show_alone().wait(BRINGING)
        put_in_place(self._work(), path, copy, lambda: self._open(path, make=False), failed)

    def _leave_copy(self) -> None:
        """Leave a copy of what is new. The record is free again by now; what goes wrong is remembered beside it."""
        if self._record is None or self._demo_folder is not None or at_desk(self._record.floor) is not None:
            return
        if self.again is not None and self.again.copy is not None:  # that keeps one itself
            return
        if self._record.file.trouble is not None:  # what lies there isn't what was pressed here
            return
        from shopclock.record.copies.daily import keep_copy

        with suppress(ShopError):
            keep_copy(self._record.path, self._record.instant(), quick=True)

    def _leave_nothing_behind(self, record: Record) -> None:
        """Write all of a record elsewhere that is away from its place, unless it goes on elsewhere already."""
        from shopclock.record.file.guard import Away
        from shopclock.record.rescue.rescue import free_place, rescue

        trouble = record.file.look()
        if trouble is None or trouble.why is Away.WRITTEN or self._demo_folder is not None:
            return
        if self.again is None or self.again.record == record.path:
            with suppress(ShopError, OSError):  # there is nobody any more to tell
                rescue(record, free_place(record))

    def _open_again(self, again: Again) -> None:
        """Close, and open again on another record or an older state of this one."""
        if self._demo_folder is not None and again.copy is not None:
            self._frame.dialogs.tell("The demo shop keeps nothing.")
            return
        self.again = again
        self._frame.leave()

    def _hold(self, path: Path) -> OneWindow:
        self._one = OneWindow(path)
        self._one.wanted.connect(self._to_the_front)
        return self._one

    def _let_go(self) -> None:
        """Let the record go that this window had taken."""
        if self._one is not None:
            self._one.release()
            self._one = None

    def _wait_for_other(self, one: OneWindow, then: Callable[[], None]) -> None:
        """Say who has the record, until that window comes to the front or lets the record go."""
        screen, timer = self._show_alone(), QTimer(self)

        def look(*, over: bool = False) -> None:
            if one.take(over=over):
                timer.stop()
                then()
            elif one.raise_other(0):
                timer.stop()
                QApplication.exit(0)
            else:
                screen.wait(_who_has(one), over=one.holder is not None and not one.holder.sure)

        screen.over.connect(lambda: look(over=True))
        screen.wait(_who_has(one), over=one.holder is not None and not one.holder.sure)
        timer.timeout.connect(look)
        timer.start(LOOK_AGAIN_MS)

    def _is_gone(self, path: Path) -> bool:
        """Tell whether a record is not at its place though it has copies, or left its log there."""
        from shopclock.record.file.copy_files import copies_of
        from shopclock.record.file.leftovers import lone_log

        if self._demo_folder is not None or not self._holds_nothing(path):
            return False
        return bool(copies_of(path)) or lone_log(path) is not None

    def _refuge(self, path: Path) -> Refuge | None:
        """Return what lies in the user's own folder of a record whose place is gone, unless it goes on elsewhere."""
        from shopclock.record.file.refuge import refuge_at
        from shopclock.record.rescue.moved import goes_on_at

        if self._demo_folder is not None or not self._holds_nothing(path) or goes_on_at(path) is not None:
            return None
        return refuge_at(path)

    @staticmethod
    def _holds_nothing(path: Path) -> bool:
        """Tell whether no record is at a path; what can't be read there is told when it is opened."""
        from shopclock.record.file.opening import holds_nothing

        try:
            return holds_nothing(path)
        except ShopError:
            return False

    def _welcome(self) -> None:
        from zoneinfo import ZoneInfo

        from shopclock.record.file.place import usual_place
        from shopclock.screens.files.drives import drives
        from shopclock.screens.welcome.welcoming import Welcoming
        from shopclock.shop.values.clock import SystemClock

        screen, now_us = self._show_alone(), SystemClock().moment().wall_us
        record = self._path if self._path is not None else usual_place()
        welcoming = Welcoming(record, self._frame.dialogs, self._work(), drives, self._open_file)
        if gone := welcoming.gone(now_us):
            screen.miss(gone)
        screen.own.connect(lambda: self._open_own(record))
        screen.demo.connect(self._demo_shop)
        screen.file.connect(lambda: welcoming.ask(now_us, ZoneInfo(system_zone())))

    def _open_own(self, record: Path) -> None:
        self._path = record
        self._open(record, make=True)

    def _open_file(self, file: Path) -> None:
        """Open a record that is there, at its place or another."""
        if file != self._path:
            self._let_go()
        self._path = file
        self._open(file, make=False)

    def _demo_shop(self) -> None:
        self.choose(None, demo=True)
        self.go_on()

    def _make_demo(self, path: Path) -> None:
        from shopclock.demo.write import write_demo
        from shopclock.shop.values.clock import SystemClock

        self._show_alone().wait(MAKING)
        now = SystemClock().moment().wall_us
        self._work().run(write_demo, (path, now), lambda _: self._open(path, make=False), self._failed)

    def _show_alone(self) -> WelcomeScreen:
        from shopclock.screens.welcome.screen import WelcomeScreen

        screen = WelcomeScreen(self._look)
        self._frame.header.hide()
        self._frame.set_page("welcome", screen)
        self._frame.show_page("welcome")
        return screen

    def _work(self) -> Background:
        from shopclock.screens.long_work.background import Background

        if self._background is None:
            from shopclock.screens.start.leaving import Leaving

            self._background = Background(self._frame)
            self._leaving = Leaving(self._frame, self._background.long_work)
        return self._background

    def _begin_here(self, record: Record) -> None:
        """Begin an empty shop with the currency of the place where this computer stands."""
        from shopclock.shop.setup.the_shop import CURRENCY, begin_here
        from shopclock.shop.values.entities import Pattern

        if record.floor.setting(CURRENCY) is None and not any(record.floor.all(Pattern)):
            from shopclock.exchange.printing.output import here

            usual = here()
            if usual.currency:
                record.press("Currency", lambda tx: begin_here(tx, usual), undoable=False)

    def _open(self, path: Path, *, make: bool, looked: bool = False) -> None:
        from shopclock.record.file.leftovers import logs_left
        from shopclock.record.file.on_disk import make_folder
        from shopclock.record.press.record import Record
        from shopclock.record.rescue.moved import goes_on_at
        from shopclock.screens.long_work import worker
        from shopclock.screens.shell import awake
        from shopclock.shop.values.clock import SystemClock

        zone, left = system_zone(), logs_left(path)
        if self._demo_folder is None and (there := goes_on_at(path)) is not None:
            self._ask_which(path, there)
            return
        try:
            if make:
                make_folder(path.parent)
            if not self._is_mine(path, make=make) or self._looks_through(path, zone, looked=make or looked):
                return
            self._record = Record.open(path, SystemClock(), make=make, zone=zone)
            if self._one is not None:
                self._one.listen()  # the file may be a new one
                self._record.file.adopted = self._one.listen
        except (ShopError, OSError) as error:
            self._offer_copy(path, zone, in_words(path, error))
            return
        self._frame.header.show()
        self._shell = self._build(self._frame, self._look, self._record, self._frame.dialogs, self._work())
        self._shell.bring_back.connect(lambda copy: self._open_again(Again(path, copy)))
        self._shell.open_other.connect(lambda other: self._open_again(Again(other)))
        self._shell.start(first_screen(self._record.floor))
        bench = partial(self._shell.screen, "bench")
        self._ahead = TabsAhead(self, {BENCH: bench, AWAKE: awake.be_ready, WORKER: worker.be_ready})
        if self._demo_folder is None:
            self._begin_here(self._record)
            self._settle_in(self._record)
        self._trouble += "".join(LOG_LEFT.format(path=path, log=log) for log in logs_left(path) - left)
        if self._trouble:
            self._frame.dialogs.tell(self._trouble)

    def _is_mine(self, path: Path, *, make: bool) -> bool:
        """Tell whether a record is this window's; otherwise it is waited for and opened then."""
        if self._one is not None or self._demo_folder is not None:
            return True
        one = self._hold(path)
        if one.take():
            return True
        self._wait_for_other(one, lambda: self._open(path, make=make))
        return False

    def _settle_in(self, record: Record) -> None:
        """Clear what is left half done; on a disk that can go away keep all in the user's own folder too."""
        from shopclock.record.file.disk import can_go_away
        from shopclock.record.file.leftovers import clear_leftovers

        clear_leftovers(record.path)
        if not can_go_away(record.path):
            return
        from shopclock.record.copies.taking_refuge import take_refuge
        from shopclock.record.file.refuge import refuge_of

        try:
            refuge = refuge_of(record.file.shop_uuid, record.path)
        except OSError:
            return

        def done(newest: Newest | None) -> None:
            if newest is not None:
                refuge.begin_after(newest)

        arguments = (record.path, refuge, record.file.session.newest)
        record.file.kept = refuge.add
        self._work().run(take_refuge, arguments, done, lambda _: None)

    def _offer_refuge(self, path: Path, refuge: Refuge) -> None:
        """Offer to go on with what lies on this computer of a record whose disk isn't there."""
        from shopclock.record.rescue.rescue import place_here, write_refuge

        there = place_here(path)

        def go(key: str | None) -> None:
            if key == "here":
                try:
                    write_refuge(refuge, there)
                except ShopError as error:
                    self._failed(error)
                    return
                self._open_file(there)
            elif key == "again":
                self._first_screen()
            else:
                QApplication.exit(0)

        choices = (
            Choice("again", "It is plugged in now", str(path), "primary"),
            Choice("here", "Go on here", f"with all that was pressed there, as {there}"),
        )
        self._show_alone().wait("")
        self._frame.dialogs.ask(f"The disk of {path.name} is not there", choices, go)

    def _ask_which(self, path: Path, there: Path) -> None:
        """Ask which is meant: the record went on at another place when this one was taken away under the window."""
        from shopclock.record.rescue.moved import forget_moved

        def go(key: str | None) -> None:
            if key is None:
                QApplication.exit(0)
            elif key == "there":
                self._open_file(there)
            else:
                forget_moved(path)
                self._open(path, make=self._holds_nothing(path))

        choices = (
            Choice("there", "Go on there", str(there), "primary"),
            Choice("here", "Open this one", f"{path}: it lacks what was pressed since"),
        )
        self._show_alone().wait("")
        self._frame.dialogs.ask(
            f"{path.name} was taken away while its window was open, and goes on elsewhere", choices, go
        )

    def _looks_through(self, path: Path, zone: str, *, looked: bool) -> bool:
        """Look through a record that may be damaged before anything is shown of it; where it is, offer a copy.

        False where that need not be, or was done.
        """
        from shopclock.record.file.copy_files import read_keeps

        if looked or not read_keeps(path).suspect:
            return False
        from shopclock.screens.start.bringing_back import look_through

        def go_on() -> None:
            self._open(path, make=False, looked=True)

        self._show_alone().wait(LOOKING)
        dialogs, leave = self._frame.dialogs, lambda: QApplication.exit(1)
        look_through(dialogs, self._work(), path, zone, go_on, leave)
        return True

    def _offer_copy(self, path: Path, zone: str, error: ShopError) -> None:
        """Offer the newest good copy of a damaged record, another try where a disk fails; whatever else is told."""
        from shopclock.record.file.error_text import Damaged, DiskFailed

        if isinstance(error, DiskFailed):
            choices = (Choice("again", "Try again", "", "primary"), Choice("leave", "Close"))
            make = self._holds_nothing(path)

            def go(key: str | None) -> None:
                if key != "again":
                    QApplication.exit(1)
                    return
                self._let_go()  # a disk that fails takes no lock: meanwhile another window may have the record
                self._open(path, make=make)

            self._show_alone().wait("")
            self._frame.dialogs.ask(str(error), choices, go)
            return
        if not isinstance(error, Damaged):
            self._failed(error)
            return
        from shopclock.screens.start.bringing_back import offer_copy

        dialogs, leave = self._frame.dialogs, lambda: self._failed(error)
        offer_copy(dialogs, self._work(), path, zone, lambda: self._open(path, make=False), leave)

    def _failed(self, error: BaseException) -> None:
        """Say why it can't be opened, and end."""
        self.exit_code = 1
        self._frame.dialogs.tell(str(error), then=lambda: QApplication.exit(1))

    def _to_the_front(self) -> None:
        self._frame.setWindowState(self._frame.windowState() & ~Qt.WindowState.WindowMinimized)
        self._frame.raise_()
        self._frame.activateWindow()


def in_words(path: Path, error: ShopError | OSError) -> ShopError:
    """Return what the system said of a record's place as a sentence, as of a home that is read-only."""
    if isinstance(error, ShopError):
        return error
    why = error.strerror or str(error)
    return ShopError(
        f"{error.filename or path} can't be used: {why}. Nothing was changed. A record may lie elsewhere: "
        "`shopclock --record PATH` opens it there."
    )


def _is_something(path: Path) -> bool:
    """Tell whether more than an empty file is at a path: what a set-up that was killed left is no record."""
    try:
        return path.stat().st_size > 0
    except OSError:
        return False


def _who_has(one: OneWindow) -> str:
    """Say who has the record that is waited for."""
    holder = one.holder
    if holder is None or (holder.sure and not holder.machine):
        return BUSY
    if holder.sure:
        return ELSEWHERE.format(machine=holder.machine)
    return holder.sentence(one.record)


def first_screen(floor: ShopFloor) -> str:
    """Screen that the program opens with: the Bench while somebody is needed there, else Today.

    Where there is no pattern yet, the routes that one can be copied from.
    """
    if not any(floor.all(Pattern)):
        return "copy"
    return "bench" if any(i.kind.attended for i in floor.running.values()) else "today"
