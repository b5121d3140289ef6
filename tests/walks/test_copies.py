"""Closed with a copy; the record damaged; started again: one press takes the newest copy, and work goes on."""

from __future__ import annotations

import os
import re
import sqlite3
import subprocess
import sys
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication

from shopclock import app
from shopclock.record.check.check import check
from shopclock.record.check.rebuild import differences
from shopclock.record.copies.archive import archive
from shopclock.record.copies.daily import keep_copy
from shopclock.record.file import copy_files
from shopclock.record.file.error_text import Unsound
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.screens.long_work.background import Background
from shopclock.screens.shell.window import make_window
from shopclock.screens.start.opening import Again, Opening
from shopclock.screens.welcome.welcoming import Welcoming
from shopclock.shop.state import settings
from shopclock.shop.values.clock import SystemClock
from shopclock.tour.finger import Finger
from shopclock.tour.window_hand import application
from tests.fake_dialogs import FakeDialogs

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pytestqt.qtbot import QtBot

AGE = r"(under 1|\d+) min old\."
DAMAGED = rf"The record is damaged and stays as it is\. Its newest good copy is {AGE}"
GONE = rf"The record shop\.shopclock is not where it was\. Its newest copy is {AGE}"


class Started(Finger):
    """The program as `main` starts it."""

    def __init__(self, path: Path, given: Again | None = None) -> None:
        frame, self.look = make_window(application(), app.TABS)
        self.look.bounce_ms = 0
        super().__init__(frame)
        self.opening = Opening(frame, self.look, app.build, given)
        assert self.opening.choose(path, demo=False)
        frame.show()
        self.opening.go_on()


@contextmanager
def started(path: Path, given: Again | None = None) -> Iterator[Started]:
    program = Started(path, given)
    try:
        yield program
    finally:
        program.frame.close()
        program.opening.close()
        program.frame.deleteLater()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def offers_routes(program: Started) -> bool:
    """Tell whether a record without a pattern is open: its first screen offers the routes to copy one from."""
    program.see()
    return program.frame.current == "shop" and "Which route to copy" in program.read


def says(program: Started, sentence: str) -> bool:
    return any(re.fullmatch(sentence, line) for line in program.read)


def theme(path: Path) -> str:
    with ReadOnlyRecord.open(path) as reading:
        return settings.value(reading.floor, settings.THEME)


def choose_paper(path: Path) -> None:
    record = Record.open(path, SystemClock())
    record.press("Colours", lambda tx: settings.set_value(tx, settings.THEME, "paper"))
    record.close()


def spoil(path: Path) -> bytes:
    data = bytearray(path.read_bytes())
    data[4096:] = bytes(byte ^ 0xFF for byte in data[4096:])
    path.write_bytes(data)
    return bytes(data)


def test_the_newest_copy_of_a_damaged_record_is_taken_by_one_press(tmp_path: Path, qtbot: QtBot) -> None:
    path = tmp_path / "shop.shopclock"
    Record.open(path, SystemClock(), make=True, zone="Europe/Vienna").close()
    choose_paper(path)
    with started(path):
        assert copy_files.copies_of(path) == []
    (copy,) = copy_files.copies_of(path)
    damaged = spoil(path)
    with started(path) as program:
        qtbot.waitUntil(lambda: program.frame.overlay.panel is not None)
        program.see()
        assert says(program, DAMAGED)
        (take,) = [words for words in program.reach if words.startswith("Take the copy of")]
        program.press(take)
        qtbot.waitUntil(lambda: path.read_bytes() != damaged and program.frame.overlay.panel is None)
        qtbot.waitUntil(lambda: offers_routes(program))
    assert theme(path) == "paper"
    assert check(path) == []
    assert [p.read_bytes() == damaged for p in tmp_path.glob("*damaged*.shopclock")] == [True]
    assert copy.path.exists()


def change(path: Path, sql: str) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        assert connection.execute(sql).rowcount


def test_one_bad_byte_in_a_name_offers_the_sound_copy_beside_it(tmp_path: Path, qtbot: QtBot) -> None:
    path = tmp_path / "shop.shopclock"
    Record.open(path, SystemClock(), make=True, zone="Europe/Vienna").close()
    choose_paper(path)
    with started(path):
        pass
    change(path, "UPDATE stage SET name = CAST(x'ff' || CAST(name AS BLOB) AS TEXT) WHERE id = 1")
    with started(path) as program:
        qtbot.waitUntil(lambda: program.frame.overlay.panel is not None)
        program.see()
        assert says(program, DAMAGED)
        (take,) = [words for words in program.reach if words.startswith("Take the copy of")]
        program.press(take)
        qtbot.waitUntil(lambda: offers_routes(program))
    assert theme(path) == "paper"
    assert check(path) == []


LONG_MS = 60_000
"""So long a process of its own may take on a machine that has much to do."""
OTHER_PLACE = "UPDATE stage SET name = name || 'x' WHERE id = 1"


@pytest.mark.parametrize("take", [True, False])
def test_a_record_that_the_quiet_check_found_unsound_is_looked_through_at_the_start(
    tmp_path: Path, qtbot: QtBot, *, take: bool
) -> None:
    path = tmp_path / "shop.shopclock"
    Record.open(path, SystemClock(), make=True, zone="Europe/Vienna").close()
    with started(path):
        pass
    change(path, OTHER_PLACE)
    choose_paper(path)
    with pytest.raises(Unsound):
        keep_copy(path, SystemClock().moment().wall_us)
    with started(path) as program:
        qtbot.waitUntil(lambda: program.frame.overlay.panel is not None, timeout=LONG_MS)
        program.see()
        assert says(program, rf"The record does not hold together: .* Its newest good copy is {AGE}")
        wanted = "Take the copy of" if take else "Go on with it as it is"
        (button,) = [words for words in program.reach if words.startswith(wanted)]
        program.press(button)
        qtbot.waitUntil(lambda: offers_routes(program), timeout=LONG_MS)
    assert (check(path) == []) is take
    assert copy_files.read_keeps(path).suspect is not take


def test_a_record_that_was_thought_damaged_and_is_sound_opens_as_ever(tmp_path: Path, qtbot: QtBot) -> None:
    path = tmp_path / "shop.shopclock"
    Record.open(path, SystemClock(), make=True, zone="Europe/Vienna").close()
    copy_files.write_keeps(path, copy_files.Keeps(trouble="It may be damaged.", suspect=True))
    with started(path) as program:
        qtbot.waitUntil(lambda: offers_routes(program), timeout=LONG_MS)
    assert not copy_files.read_keeps(path).suspect


def test_a_record_that_is_gone_is_missed_and_brought_back_from_its_copy(tmp_path: Path, qtbot: QtBot) -> None:
    path = tmp_path / "shop.shopclock"
    Record.open(path, SystemClock(), make=True, zone="Europe/Vienna").close()
    choose_paper(path)
    with started(path):
        pass
    path.unlink()
    with started(path) as program:
        program.see()
        assert says(program, GONE)
        program.press("Bring it back")
        program.press("The copy of")
        qtbot.waitUntil(lambda: offers_routes(program))
    assert theme(path) == "paper"
    assert check(path) == []


def test_a_newcomer_opens_an_archive_that_he_has(tmp_path: Path, qtbot: QtBot) -> None:
    path, again = tmp_path / "shop.shopclock", tmp_path / "moved" / "shop.shopclock"
    Record.open(path, SystemClock(), make=True, zone="Europe/Vienna").close()
    choose_paper(path)
    archive(path, tmp_path / "shop archive.zip", 0)
    again.parent.mkdir()
    opened: list[Path] = []
    background = Background()
    welcoming = Welcoming(
        again, FakeDialogs(["typed", str(tmp_path / "shop archive.zip")]), background, list, opened.append
    )
    assert welcoming.gone(0) == ""
    welcoming.ask(0, ZoneInfo("Europe/Vienna"))
    qtbot.waitUntil(lambda: opened == [again])
    background.close()
    assert differences(path, again) == {}


def test_a_copy_that_is_wanted_back_is_there_when_the_window_opens_again(tmp_path: Path, qtbot: QtBot) -> None:
    path = tmp_path / "shop.shopclock"
    Record.open(path, SystemClock(), make=True, zone="Europe/Vienna").close()
    with started(path):
        pass
    (copy,) = copy_files.copies_of(path)
    choose_paper(path)
    with started(path) as program:
        program.press("Shop")
        assert program.opening.again is None
        program.opening._shell.bring_back.emit(copy.path)
    again = program.opening.again
    assert again == Again(path, copy.path)
    with started(path, again) as program:
        qtbot.waitUntil(lambda: offers_routes(program))
    assert theme(path) == "dark"
    (before,) = [c for c in copy_files.copies_of(path) if c.before]
    assert theme(before.path) == "paper"


MAIN = """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from shopclock import app
built = []
real = app.build
def build(*given):
    shell = real(*given)
    built.append(shell)
    if len(built) == 1:
        QTimer.singleShot(300, lambda: shell.bring_back.emit(Path(sys.argv[2])))
    else:
        print(given[2].floor.setting("theme"), len([w for w in QApplication.topLevelWidgets() if w.isVisible()]))
        QTimer.singleShot(300, QApplication.closeAllWindows)
    return shell
app.build = build
sys.exit(app.main(["--record", sys.argv[1]]))
"""


def test_the_program_opens_again_on_the_copy_in_one_window(tmp_path: Path) -> None:
    path = tmp_path / "shop.shopclock"
    Record.open(path, SystemClock(), make=True, zone="Europe/Vienna").close()
    with started(path):
        pass
    (copy,) = copy_files.copies_of(path)
    choose_paper(path)
    done = subprocess.run(
        [sys.executable, "-c", MAIN, str(path), str(copy.path)],
        cwd=Path(__file__).parents[2],
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert (done.returncode, done.stdout) == (0, "None 1\n"), done.stderr
    assert theme(path) == "dark"
    assert check(path) == []
