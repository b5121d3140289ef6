"""Programs that the benchmarks of the window start, each in a process of its own: a bare window, and ours.

What happened when is told as JSON in the last line, in seconds of the clock that all processes share. Presses come from
the event loop as a finger's do: what a press leaves to be deleted is gone before the next.
"""

from __future__ import annotations

import ctypes
import json
import os
import sys
import time
from collections import Counter
from collections.abc import Callable, Generator, Iterator
from itertools import cycle, islice
from pathlib import Path
from typing import Any

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QPointF, Qt, QTimer
from PySide6.QtWidgets import QApplication

WAIT_S, COUNTED_S = 12.0, 15.0
"""How long a window is left alone until all that it fetches after the start is there, and is looked at then."""
BETWEEN_PRESSES_S, PRESSES, PRESSES_ALONE = 0.03, 300, 100
SOON_US = 2_000_000
"""So soon after the last press the window is opened: later it would ask what went on meanwhile."""
BEAT_MS = 4
"""How often it is looked whether the loop is free: a freeze is told to about as many milliseconds."""
LONGEST_S = 60.0
ROUND = ("Stop", "Undo", "Done:", "Undo", "Adjust", "Back")
TABS = ("Today", "Batches", "Review", "Trends", "Plan", "Shop", "Bench")
Told = dict[str, Any]
Steps = Generator[float | Callable[[], bool], None, None]
"""What a hand does: it yields how many seconds it waits, or what it waits for."""


def tell(told: Told) -> None:
    """Say it and end the program."""
    told["rss_mb"] = rss_mb(os.getpid())
    sys.stdout.write(json.dumps(told) + "\n")
    QCoreApplication.exit(0)


def rss_mb(process: int) -> float:
    """Resident memory of a process."""
    pages = int(Path(f"/proc/{process}/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def family_mb() -> float:
    """Resident memory of this process and of all that it started."""
    found, look = [], [os.getpid()]
    while look:
        found.append(look.pop())
        for task in Path(f"/proc/{found[-1]}/task").iterdir():
            look += map(int, (task / "children").read_text(encoding="ascii").split())
    return sum(map(rss_mb, found))


def disk_waited_s() -> float:
    """So long this process has waited for the disk, as the library of `slow` counts it; 0 without that."""
    try:
        waited = ctypes.CDLL(None).synced_ns
    except AttributeError:
        return 0.0
    waited.restype = ctypes.c_longlong
    return float(waited()) / 1e9


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


def ours(record: Path, now_us: int, hand: Callable[[Told, Any], Steps]) -> None:
    """Our program as `main` starts it; `hand` begins at the first paint."""
    from shopclock import app

    app.leave_imports_alone()
    from shopclock.mistakes import Hook
    from shopclock.screens.start.opening import Opening

    told: Told = {}
    FILLED.watch()  # before there is any: each button remembers how it is painted
    go_on = Opening.go_on

    def painted(opening: Opening) -> None:
        told["painted"] = time.monotonic()
        _set_clock(now_us)
        opening._look.bounce_ms = 0
        opening.hand = Hand(hand(told, opening))  # type: ignore[attr-defined]  # kept as long as the window
        go_on(opening)

    Opening.go_on = painted  # type: ignore[method-assign]  # to be there between the first paint and what follows it
    Hook.__call__ = _fail  # type: ignore[method-assign]  # a mistake ends the program here
    app.main(["--record", str(record)])


def _fail(_hook: object, kind: type[BaseException], error: BaseException, trace: Any) -> None:
    import traceback

    traceback.print_exception(kind, error, trace)
    os._exit(1)


def _set_clock(now_us: int) -> None:
    """The clock of the machine, set to when the record ends, as after a start of the machine: only so it counts."""
    from shopclock.shop.values import clock

    shift_us = now_us - time.time_ns() // 1000

    class Shifted(clock.SystemClock):
        def moment(self) -> clock.Moment:
            found = super().moment()
            wall_us, boot_us, awake_us = (us + GONE_ON.us for us in (found.wall_us, found.boot_us, found.awake_us))
            return clock.Moment(wall_us + shift_us, boot_us, awake_us, f"boot at {now_us}", found.offset_min)

    clock.SystemClock = Shifted  # type: ignore[misc]  # `main` makes its own


class GoneOn:
    """How far the clocks went on while a hand worked, beside the time that it took here."""

    us = 0


GONE_ON = GoneOn()


class Hand(QObject):
    """Takes one step after the other from the event loop, and notes the longest time in which that was not free."""

    here: Hand

    def __init__(self, steps: Steps) -> None:
        super().__init__()
        Hand.here = self
        self._steps = steps
        self._wait: float | Callable[[], bool] = 0.0
        self._since = time.perf_counter()
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._beat)
        self._timer.start(BEAT_MS)

    def rest(self, seconds: float) -> None:
        """Do nothing for so long: who looks every few milliseconds costs more than what is looked at."""
        self._timer.setInterval(int(seconds * 1000))

    def _beat(self) -> None:
        now = time.perf_counter()
        FREEZE.see(now)
        over = now - self._since
        try:
            ready = self._wait() if callable(self._wait) else over >= self._wait
            if over > LONGEST_S:
                raise AssertionError(f"still waiting for {self._wait} after {LONGEST_S:.0f} s")  # noqa: TRY301  # the loop's hook tells it
            if ready:
                self._wait = next(self._steps)
                self._since = time.perf_counter()
        except StopIteration:
            self._timer.stop()
        except BaseException as error:  # noqa: BLE001  # whatever it is, it ends the program
            _fail(self, type(error), error, error.__traceback__)


class Freeze:
    """Longest time in which the window's thread did nothing else, in seconds."""

    def __init__(self) -> None:
        self._last = time.perf_counter()
        self.longest = 0.0

    def see(self, now: float) -> None:
        self.longest = max(self.longest, now - self._last)
        self._last = now

    def begin(self) -> None:
        self.longest, self._last = 0.0, time.perf_counter()


FREEZE = Freeze()


class Paints(QObject):
    """Counts how often something of our windows was painted.

    It listens to the windows themselves: a filter on all of Qt's objects has PySide make 167 enumerations at the first
    that it doesn't know, within whatever press that is, for 30 ms here and 100 on the slow machine.
    """

    def __init__(self) -> None:
        super().__init__()
        self.seen = 0
        for window in QApplication.topLevelWidgets():
            window.installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        self.seen += event.type() == QEvent.Type.UpdateRequest
        return False


class PaintsByKind(QObject):
    """Counts what is painted, by the kind of widget, where no press is timed."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: Counter[str] = Counter()
        QApplication.instance().installEventFilter(self)  # type: ignore[union-attr]  # it runs

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint:
            self.seen[type(watched).__name__] += 1
        return False


class Filled:
    """Notes when a button was first painted as it is under a finger, since a finger came down."""

    def __init__(self) -> None:
        self.at = 0.0

    def watch(self) -> None:
        from shopclock.widgets.press_button import PressButton

        paint = PressButton.paintEvent

        def painted(button: Any, event: Any) -> None:
            paint(button, event)
            if not self.at and button._held():
                self.at = time.perf_counter()

        PressButton.paintEvent = painted  # type: ignore[method-assign]  # to be there when it was


FILLED = Filled()


def usable() -> bool:
    """Tell whether the Bench can be pressed."""
    return _find("Stop") is not None


def start(told: Told, opening: Any) -> Steps:
    """From the start to the first press that is on disk and painted: the finger comes down as soon as it can."""
    yield usable
    told["usable"] = time.monotonic()
    paints = Paints()
    _tap(_first("Stop"))
    yield lambda: paints.seen > 0 and not opening._shell.screen("bench").first.presenter.keep_awake
    told["pressed"] = time.monotonic()
    yield 2.0  # what is left to be done after the first press is done
    tell(told)


def presses(told: Told, _opening: Any) -> Steps:
    """Each press by a quick tap: when its button filled, when all was painted, how long the disk took of that; ms."""
    yield usable
    yield 3.0
    told |= {"ms": [], "disk": [], "filled": [], "cpu": []}
    yield from _pressing(told, islice(cycle(ROUND), PRESSES))
    tell(told)


def _pressing(told: Told, words: Iterator[str]) -> Steps:
    paints = Paints()
    for word in words:
        yield BETWEEN_PRESSES_S
        yield from _timed(told, paints, _first(word))


def _timed(told: Told, paints: Paints, button: Any) -> Steps:
    """One press by a quick tap, up to when the loop had nothing more to paint."""
    before = paints.seen
    FILLED.at, disk, cpu, began = 0.0, disk_waited_s(), time.process_time(), time.perf_counter()
    _tap(button)
    ended: list[float] = []
    QTimer.singleShot(0, lambda: _see_end(paints, before, ended))
    yield lambda: bool(ended)
    told["cpu"].append((time.process_time() - cpu) * 1000)
    told["ms"].append((ended[0] - began) * 1000)
    told["disk"].append((disk_waited_s() - disk) * 1000)
    told["filled"].append((FILLED.at - began) * 1000 if FILLED.at and FILLED.at <= ended[0] else None)


def _see_end(paints: Paints, before: int, ended: list[float], painted: int = -1) -> None:
    """Note when the loop had nothing more to paint."""
    now = paints.seen
    if now > before and now == painted:
        ended.append(time.perf_counter())
    else:
        QTimer.singleShot(0, lambda: _see_end(paints, before, ended, now))


def seven(told: Told, opening: Any) -> Steps:
    """A batch of seven from a copied route to its close, as the walk of it goes: each press, and its words; ms."""
    from shopclock import app
    from shopclock.screens.bench.far_view import FarView
    from shopclock.shop.values.entities import Batch
    from shopclock.tour.finger import Finger
    from tests.walks import seven as story
    from tests.walks.walk import lines

    yield lambda: any(_buttons())
    yield 3.0
    shell, paints = opening._shell, Paints()
    tabs = dict(app.TABS)
    finger = Finger(opening._frame)
    told |= {"ms": [], "disk": [], "filled": [], "cpu": [], "words": []}

    def press(words: str) -> Steps:
        yield BETWEEN_PRESSES_S
        told["words"].append(words)
        yield from _timed(told, paints, finger._find(words))

    for line in lines(story.BEFORE_THE_KILL + story.AFTER_THE_KILL):
        verb, _, words = line.partition(" ")
        if verb == "press":
            yield from press(words)
        elif verb == "open":
            yield from press(tabs[words])
        elif verb == "type":
            finger.type(words)
        else:
            GONE_ON.us += round(float(words) * 60e6)
            shell.tick()
            yield BETWEEN_PRESSES_S
            for view in opening._frame.findChildren(FarView):
                if view.isVisible() and finger._in_sight(view.clock):
                    _tap(view.clock)
                    yield BETWEEN_PRESSES_S
    told["closed"] = sorted(batch.name for batch in opening._record.floor.all(Batch) if batch.closed_us)
    tell(told)


def beside_notes(told: Told, opening: Any) -> Steps:
    """The same, first alone, then while rows of old notes are worked out; ms."""
    from shopclock.exchange.notes.notes import NotesAnswers

    yield usable
    yield 3.0
    alone = told["alone"] = {"ms": [], "disk": [], "filled": [], "cpu": []}
    yield from _pressing(alone, islice(cycle(ROUND), PRESSES_ALONE))
    from shopclock.screens.notes.bringing import Bringing

    beside = told["beside"] = {"ms": [], "disk": [], "filled": [], "cpu": []}
    bringing, told["error"], record = Bringing(opening._record, opening._work()), "", opening._record.path
    known: list[Any] = []

    def ended(why: str | None) -> None:
        told["error"] = why or ""
        known.append(None)

    began = time.monotonic()
    bringing.look(record.with_name("notes.csv"), NotesAnswers(), known.append, ended)
    words = cycle(ROUND)
    while not known:
        yield from _pressing(beside, islice(words, len(ROUND)))
    told["took"] = time.monotonic() - began
    tell(told)


def tabs(told: Told, _opening: Any) -> Steps:
    """Each tab for the first time and again: until it is painted, and the longest freeze meanwhile; s."""
    yield usable
    yield 5.0
    paints = Paints()
    for said in ("first", "again"):
        told[said], told[f"{said} frozen"] = {}, {}
        for tab in TABS:
            yield 0.3
            before, began = paints.seen, time.perf_counter()
            FREEZE.begin()
            _tap(_first(tab))
            ended: list[float] = []
            QTimer.singleShot(0, lambda: _see_end(paints, before, ended))  # noqa: B023  # it ends within this round
            yield lambda: bool(ended)  # noqa: B023  # the same
            told[said][tab] = ended[0] - began
            yield 0.3
            told[f"{said} frozen"][tab] = FREEZE.longest
    told["modules"] = heavy()
    tell(told)


def heavy() -> list[str]:
    """Libraries that this process has taken in and that take long."""
    return [name for name in ("numpy", "pandas", "scipy", "pyqtgraph") if name in sys.modules]


def first_chart(told: Told, opening: Any) -> Steps:
    """From the press on a stage in Trends until its chart is painted, and the longest freeze meanwhile; s."""
    yield usable
    yield 5.0
    _tap(_first("Trends"))
    trends = opening._shell.screen("trends")
    yield lambda: trends.presenter._lines.answer is not None
    yield 1.0
    FREEZE.begin()
    began = time.perf_counter()
    key = str(max(trends.presenter._lines.answer, key=lambda line: len(str(line))).stage_id)
    trends.stages.table.pressed.emit(key)
    yield lambda: trends.stage.chart.chart is not None and trends.stage.chart.chart.isVisible()
    yield 0.0
    told["took"] = time.perf_counter() - began
    yield 1.0
    told["frozen"] = FREEZE.longest
    told["modules"], told["family_mb"] = heavy(), family_mb()
    tell(told)


def next_batch(told: Told, opening: Any) -> Steps:
    """From the press on *Next batch* until its table is there, and the longest freeze meanwhile; s."""
    yield from _plan(told, opening, "Next batch", lambda page: page._told.answer is not None)


def promise(told: Told, opening: Any) -> Steps:
    """From the press on *Promise* until the rough answer, and until the better one; s."""
    yield from _plan(told, opening, "Promise", lambda page: page._found.answer is not None)


def _plan(told: Told, opening: Any, words: str, answered: Callable[[Any], bool]) -> Steps:
    yield usable
    yield 5.0
    _tap(_first("Plan"))
    yield lambda: _find(words) is not None
    yield 2.0
    FREEZE.begin()
    began = time.perf_counter()
    _tap(_first(words))
    presenter = opening._shell.screen("plan").presenter
    yield lambda: len(presenter._pages) > 1
    page = presenter._pages[-1][1]
    yield lambda: answered(page)
    told["rough"] = time.perf_counter() - began
    if hasattr(page, "_found"):
        yield lambda: not page._found.rough
        told["final"] = time.perf_counter() - began
    yield 1.0
    told["frozen"] = FREEZE.longest
    told["modules"], told["family_mb"] = heavy(), family_mb()
    tell(told)


def idle(told: Told, _opening: Any) -> Steps:
    """What is painted, and how much of a core is used, while timers run and nobody touches anything."""
    yield from _idle(told)


def covered(told: Told, _opening: Any) -> Steps:
    """The same behind another window."""
    from PySide6.QtWidgets import QWidget

    cover = QWidget()
    cover.setGeometry(QApplication.primaryScreen().geometry())
    cover.setWindowFlag(Qt.WindowType.FramelessWindowHint)
    yield usable
    cover.show()
    cover.raise_()
    yield from _idle(told)


def minimised(told: Told, opening: Any) -> Steps:
    """The same while it is minimised."""
    yield usable
    opening._frame.showMinimized()
    yield from _idle(told)


def _idle(told: Told) -> Steps:
    yield usable
    paints = PaintsByKind()
    yield WAIT_S
    paints.seen.clear()
    told["began"] = time.monotonic(), time.process_time()
    Hand.here.rest(COUNTED_S)
    yield COUNTED_S / 2
    wall, cpu = told.pop("began")
    took = time.monotonic() - wall
    told["cpu"] = (time.process_time() - cpu) / took
    told["paints"] = {name: n / took for name, n in paints.seen.items()}
    tell(told)


def _first(words: str) -> Any:
    found = _find(words)
    if found is None:
        raise AssertionError(f"no button says {words}; there are {', '.join(b.state.title for b in _buttons())}")
    return found


def _find(words: str) -> Any | None:
    return next((button for button in _buttons() if button.state.title.startswith(words)), None)


def _buttons() -> Iterator[Any]:
    from shopclock.widgets.press_button import PressButton

    for window in QApplication.topLevelWidgets():
        for button in window.findChildren(PressButton):
            if button.isVisible() and button.isEnabled():
                yield button


def _tap(button: Any) -> None:
    """Have the loop bring a finger's coming down and its lift."""
    from PySide6.QtGui import QMouseEvent

    left, none = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
    at = QPointF(button.rect().center())
    where = QPointF(button.mapToGlobal(at))
    for kind, held in ((QEvent.Type.MouseButtonPress, left), (QEvent.Type.MouseButtonRelease, none)):
        QCoreApplication.postEvent(button, QMouseEvent(kind, at, where, left, held, Qt.KeyboardModifier.NoModifier))


def make_demo(record: Path) -> None:
    """Write the demo shop, and begin a step in which one piece after the other is done; print the instant after it."""
    from shopclock.demo.write import write_demo
    from shopclock.record.press.record import Record
    from shopclock.shop.values.clock import SystemClock
    from shopclock.shop.work import begin
    from shopclock.shop.work.piece_progress import ready

    write_demo(record)
    now_us = newest_us(record) + 60_000_000
    _set_clock(now_us)
    from shopclock.shop.values import clock

    del SystemClock
    opened = Record.open(record, clock.SystemClock())
    floor = opened.floor
    for interval in list(floor.running.values()):
        if interval.kind.attended:
            opened.press("Stop", begin.stop)
            break
    found = [
        one
        for batch in floor.open_batches()
        for one in ready(floor, batch.id, now_us)
        if one.step.one_by_one and len(one.pieces) > 2
    ]
    opened.press("Start", lambda tx: begin.begin(tx, found[0].step))
    opened.close()
    sys.stdout.write(f"{newest_us(record) + SOON_US}\n")


def make_shop(record: Path) -> None:
    """Write a shop in which nothing is yet; print the instant after it."""
    from tests.walks.walk import START_US, new_record

    new_record(record)
    sys.stdout.write(f"{START_US + SOON_US}\n")


def make_timers(record: Path) -> None:
    """The same, with a third clock running: a glue that cures."""
    from shopclock.record.press.record import Record
    from shopclock.shop.values import clock
    from shopclock.shop.work import begin

    make_demo(record)
    opened = Record.open(record, clock.SystemClock())
    floor = opened.floor
    cure = next(step for step in floor.steps(floor.open_batches()[-1].id) if step.name == "Cure")
    opened.press("Start", lambda tx: begin.begin(tx, cure))
    running = len(floor.running)
    opened.close()
    if running != 3:
        raise AssertionError(f"{running} clocks run")
    sys.stdout.write(f"{newest_us(record) + SOON_US}\n")


def newest_us(record: Path) -> int:
    """The instant of a record's newest press."""
    import sqlite3
    from contextlib import closing

    with closing(sqlite3.connect(record)) as connection:
        return int(connection.execute("SELECT max(at_us) FROM press").fetchone()[0])


HANDS = (start, presses, seven, beside_notes, tabs, first_chart, next_batch, promise, idle, covered, minimised)

if __name__ == "__main__":
    name, path = sys.argv[1], Path(sys.argv[2])
    if name in ("make_demo", "make_shop", "make_timers"):
        globals()[name](path)
    elif name == "bare":
        bare(path, 0)
    else:
        hand = {one.__name__: one for one in HANDS}[name]
        ours(path, int(sys.argv[3]), hand)
