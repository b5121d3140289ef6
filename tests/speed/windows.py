"""Programs that the benchmarks of the window start, each in a process of its own: a bare window, and ours.

What happened when is told as JSON in the last line, in seconds of the clock that all processes share.
"""

import json
import os
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import cycle
from pathlib import Path
from typing import Any

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QPointF, Qt, QTimer
from PySide6.QtWidgets import QApplication

PAGE_BYTES = os.sysconf("SC_PAGE_SIZE")
WAIT_S, COUNTED_S = 2.0, 10.0
BETWEEN_PRESSES_MS, PRESSES_ALONE = 30, 300
ROUNDS, ROUND = 50, ("Stop", "Carry on", "Done:", "Undo", "Adjust", "Back")
Told = dict[str, Any]


def tell(told: Told) -> None:
    """Say it and end the program."""
    told["rss_mb"] = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1]) * PAGE_BYTES / 1e6
    sys.stdout.write(json.dumps(told) + "\n")
    QCoreApplication.exit(0)


def bare(_record: Path, _now_us: int) -> None:
    """The least window there is: when it was painted, and its memory with a database open."""
    import sqlite3

    from PySide6.QtWidgets import QWidget

    class Bare(QWidget):
        def paintEvent(self, _event: object) -> None:
            QTimer.singleShot(0, painted)

    def painted() -> None:
        told: Told = {"painted": time.monotonic()}
        with sqlite3.connect(":memory:") as database:
            database.execute("CREATE TABLE piece (mark TEXT)")
            tell(told)

    application = QApplication([])
    window = Bare()
    window.resize(1280, 800)
    window.show()
    application.exec()


def ours(record: Path, now_us: int, then: Callable[[Told, Any], None]) -> None:
    """Our program as `main` starts it; `then` goes on as soon as the event loop is free for a press."""
    from shopclock import app

    app.leave_imports_alone()
    from shopclock.mistakes import Hook
    from shopclock.screens.start.opening import Opening

    told: Told = {}
    go_on = Opening.go_on

    def painted(opening: Opening) -> None:
        told["painted"] = time.monotonic()
        _set_clock(now_us)
        opening._look.bounce_ms = 0
        go_on(opening)
        QTimer.singleShot(0, lambda: then(told, opening))

    Opening.go_on = painted  # type: ignore[method-assign]  # to be there between the first paint and what follows it
    Hook.__call__ = _fail  # type: ignore[method-assign]  # a mistake ends the program here
    app.main(["--record", str(record)])


def _fail(_hook: object, kind: type[BaseException], error: BaseException, _trace: object) -> None:
    sys.stderr.write(f"{kind.__name__}: {error}\n")
    os._exit(1)


def _set_clock(now_us: int) -> None:
    """The clock of the machine, set to when the record ends."""
    from shopclock.shop.values import clock

    shift_us = now_us - time.time_ns() // 1000

    class Shifted(clock.SystemClock):
        def moment(self) -> clock.Moment:
            found = super().moment()
            return replace(found, wall_us=found.wall_us + shift_us)

    clock.SystemClock = Shifted  # type: ignore[misc]  # `main` makes its own


def first_press(record: Path, now_us: int) -> None:
    """From the start to the first press that is on disk."""

    def press(told: Told, _opening: Any) -> None:
        _click(_first("Stop"))
        told["pressed"] = time.monotonic()
        tell(told)

    ours(record, now_us, press)


def clicks(record: Path, now_us: int) -> None:
    """Each press from the finger going down until all that it changed is painted, in ms."""

    def press(told: Told, _opening: Any) -> None:
        paints = Paints()
        told["ms"] = [_timed(words, paints) for _ in range(ROUNDS) for words in ROUND]
        tell(told)

    ours(record, now_us, press)


def clicks_beside_notes(record: Path, now_us: int) -> None:
    """Each press, a while between, first alone, then while a hundred thousand rows of notes are worked out, in ms."""
    from shopclock.exchange.notes.notes import NotesAnswers

    def press(told: Told, opening: Any) -> None:
        from shopclock.screens.notes.bringing import Bringing

        bringing = Bringing(opening._record, opening._work())
        told |= {"alone": [], "worked out": [], "error": ""}

        def ended(why: str | None) -> None:
            told["error"], told["took"] = why or "", time.monotonic() - told["began"]

        def known(seen: Any) -> None:
            told["known"] = time.monotonic() - told["began"]
            bringing.take(seen, ended)

        def begin() -> None:
            told["began"] = time.monotonic()
            bringing.look(record.with_name("notes.csv"), NotesAnswers(), known, ended)

        _press_on(told, begin)

    ours(record, now_us, press)


def _press_on(told: Told, begin: Callable[[], None]) -> None:
    """Press one button after the other until the notes are in; they begin to come after some."""
    words, paints = cycle(ROUND), Paints()

    def press() -> None:
        if "took" in told:
            tell(told)
            return
        told["alone" if "began" not in told else "worked out"].append(_timed(next(words), paints))
        if len(told["alone"]) == PRESSES_ALONE and "began" not in told:
            begin()
        QTimer.singleShot(BETWEEN_PRESSES_MS, press)

    press()


def idle(record: Path, now_us: int) -> None:
    """What is painted, and how much of a core is used, while timers run and nobody touches anything."""

    def look(told: Told, _opening: Any) -> None:
        paints = Paints()

        def begin() -> None:
            paints.seen.clear()
            told["began"] = time.monotonic(), time.process_time()

        def end() -> None:
            wall, cpu = told.pop("began")
            took = time.monotonic() - wall
            told["cpu"] = (time.process_time() - cpu) / took
            told["paints"] = {name: n / took for name, n in paints.seen.items()}
            tell(told)

        QTimer.singleShot(int(WAIT_S * 1000), begin)
        QTimer.singleShot(int((WAIT_S + COUNTED_S) * 1000), end)

    ours(record, now_us, look)


class Paints(QObject):
    """Counts what is painted, by the kind of widget."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: Counter[str] = Counter()
        QApplication.instance().installEventFilter(self)  # type: ignore[union-attr]  # it runs

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint:
            self.seen[type(watched).__name__] += 1
        return False


def _timed(words: str, paints: Paints) -> float:
    """Press and paint."""
    button = _first(words)
    before = paints.seen.total()
    start = time.perf_counter()
    _click(button)
    QApplication.processEvents()
    took = (time.perf_counter() - start) * 1000
    if paints.seen.total() == before:
        raise AssertionError(f"{words} painted nothing")
    return took


def _first(words: str) -> Any:
    found = {button.state.title: button for button in _buttons()}
    fitting = [title for title in found if title.startswith(words)]
    if not fitting:
        raise AssertionError(f"no button says {words}; there are {', '.join(found)}")
    return found[fitting[0]]


def _buttons() -> Iterator[Any]:
    from shopclock.widgets.press_button import PressButton

    for window in QApplication.topLevelWidgets():
        for button in window.findChildren(PressButton):
            if button.isVisible() and button.isEnabled():
                yield button


def _click(button: Any) -> None:
    from PySide6.QtGui import QMouseEvent

    left, none = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
    at = QPointF(button.rect().center())
    where = QPointF(button.mapToGlobal(at))
    for kind, held in ((QEvent.Type.MouseButtonPress, left), (QEvent.Type.MouseButtonRelease, none)):
        QApplication.sendEvent(button, QMouseEvent(kind, at, where, left, held, Qt.KeyboardModifier.NoModifier))


if __name__ == "__main__":
    programs = {program.__name__: program for program in (bare, first_press, clicks, clicks_beside_notes, idle)}
    programs[sys.argv[1]](Path(sys.argv[2]), int(sys.argv[3]))
