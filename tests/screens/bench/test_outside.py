"""Presses from outside the window do what a finger would, and are refused where a finger would be."""

from __future__ import annotations

import json
import os
import stat
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QObject

from shopclock.commands import main
from shopclock.record.file.place import state_folder
from shopclock.record.press.record import Record
from shopclock.screens.bench.at_bench import AtBench
from shopclock.screens.bench.outside import OutsidePress, Told, press_outside, running_lines, running_work, waiting
from shopclock.screens.bench.state import Verb
from shopclock.screens.start.outside_line import OutsideLine, line_name, read_press, send_press
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Maker, Piece, Tally
from shopclock.shop.work.makers import add_maker

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tests.screens.bench.workshop import Workshop

TOP = Path(__file__).resolve().parents[3]


def at_bench(shop: Workshop) -> AtBench:
    """The makers at a shop's Bench, the same ones each time."""
    made = AtBench(shop.record, shop.dialogs, shop.usual_at, shop.went.append)
    return shop.__dict__.setdefault("at_bench", made)


def ask(shop: Workshop, do: str, about: str = "", after_min: float = 1, **more: object) -> Told:
    shop.clock.go(after_min)
    return press_outside(at_bench(shop), OutsidePress(do, about, **more))


def marked(shop: Workshop) -> list[str]:
    return sorted(shop.record.floor.get(Piece, tally.piece_id).mark for tally in shop.record.floor.all(Tally))


def test_start_done_next_and_stop_press_the_benchs_own_buttons(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    told = ask(shop, "start", "saw o")
    assert told.done
    assert told.said.startswith("Start Saw out. Saw out ")
    assert shop.running_names() == ["Saw out"]
    assert ask(shop, "done").done
    assert ask(shop, "done", "c").done
    assert marked(shop) == ["A", "C"]
    assert ask(shop, "next").done
    assert marked(shop) == ["A", "B", "C"]
    assert shop.running_names() == ["Profile"]
    assert ask(shop, "stop", after_min=10).said == "Stop. Nothing runs."
    assert shop.running == []


def test_what_makes_no_sense_changes_nothing_and_says_why(shop: Workshop) -> None:
    assert ask(shop, "start", "saw out") == Told(done=False, said="No batch is open. Nothing was started.")
    shop.batch("Paring 95", 3)
    before = shop.record.next_undo
    for do, about, said in (
        ("stop", "", "Nothing runs."),
        ("done", "", "No piece is to be marked"),
        ("done", "A", "Letters choose here who goes in"),
        ("start", "weld", "There is no step 'weld'."),
    ):
        told = ask(shop, do, about)
        assert not told.done
        assert said in told.said
    ask(shop, "start", "saw o")
    ask(shop, "done", "B")
    for about, said in (("B", "B: through."), ("Q", "There is no piece Q")):
        told = ask(shop, "done", about)
        assert not told.done
        assert told.said.startswith(said)
    assert marked(shop) == ["B"]
    assert before is not None


def test_a_second_stop_does_not_carry_on(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    ask(shop, "start", "saw o")
    ask(shop, "stop")
    assert ask(shop, "stop") == Told(done=False, said="Nothing runs. Nothing was changed.")
    assert shop.running == []


def test_a_step_is_looked_for_in_the_batch_in_sight_and_else_in_the_only_one_that_has_it(shop: Workshop) -> None:
    first, second = shop.batch("Paring 95", 3), shop.batch("Cook's 180", 2)
    at_bench(shop).show_batch(first.id)
    assert ask(shop, "start", "saw o").done
    assert shop.running[0].batch_id == first.id
    assert ask(shop, "start", "saw o", batch=second.name).done
    assert shop.running[0].batch_id == second.id
    assert not ask(shop, "start", "saw o", batch="99-99").done


def test_undo_that_the_window_would_ask_about_is_left_unless_yes_is_said(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    ask(shop, "start", "saw o")
    ask(shop, "stop")
    told = ask(shop, "undo", after_min=30)
    assert told == Told(
        done=False,
        said="Take back Stop: the clock goes on as if it had not stopped? Nothing was changed; --yes does it.",
    )
    assert ask(shop, "undo", yes=True).said.startswith("Took back Stop. Saw out ")
    assert shop.running_names() == ["Saw out"]
    assert shop.dialogs.asked == []


def test_what_runs_and_what_waits_is_told_with_its_letters(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 3)
    ask(shop, "start", "saw o")
    shop.press(Verb.DONE, 5)
    floor, now_us = shop.record.floor, shop.record.instant()
    (work,) = running_work(floor, now_us)
    assert (work.step, work.batch, work.kind, work.minutes) == ("Saw out", batch.name, "hands-on", 5.0)
    assert waiting(floor, now_us) == ()
    (line,) = running_lines(floor, [work])
    assert line.startswith(f"Saw out {batch.name}, A–C, since ")
    assert line.endswith(": 5.0 min")


@pytest.mark.parametrize(
    "line",
    [b"", b"{}", b"[]", b"null", b'{"do": "erase"}', b'{"do": 1}', b'{"do": "next", "more": 1}', b"[" * 5000, b"\xff"],
)
def test_what_is_no_press_is_none(line: bytes) -> None:
    assert read_press(line) is None


def test_a_command_presses_in_the_window_that_has_the_record_open(shop: Workshop, qtbot: QtBot) -> None:
    shop.batch("Paring 95", 3)
    parent, path = QObject(), shop.record.path
    line = OutsideLine(path, at_bench(shop), parent)
    line.listen()
    command = [sys.executable, "-m", "shopclock", "start", "saw o", "--record", str(path), "--json"]
    told = subprocess.Popen(command, cwd=TOP, stdout=subprocess.PIPE, text=True)
    qtbot.waitUntil(lambda: told.poll() is not None)
    assert told.stdout is not None
    answer = json.loads(told.stdout.read())
    told.stdout.close()
    assert told.returncode == 0
    assert answer["done"]
    assert shop.running_names() == ["Saw out"]
    line.close()
    assert send_press(path, OutsidePress("next")) is None


@pytest.mark.skipif(sys.platform == "win32", reason="there it is a pipe, which has no mode")
def test_nobody_but_the_owner_can_press_from_outside(shop: Workshop, qtbot: QtBot) -> None:
    parent = QObject()
    line = OutsideLine(shop.record.path, at_bench(shop), parent)
    line.listen()
    socket = Path(line_name(shop.record.path))
    assert socket.parent == state_folder()
    assert stat.S_IMODE(socket.stat().st_mode) & 0o077 == 0
    assert stat.S_IMODE(state_folder().stat().st_mode) & 0o077 == 0
    line.close()
    assert not socket.exists()


def test_a_line_that_a_killed_window_left_is_nobody(shop: Workshop, qtbot: QtBot) -> None:
    script = (
        "import os, sys; from pathlib import Path; from PySide6.QtCore import QCoreApplication, QObject;"
        "app = QCoreApplication([]); from shopclock.screens.start.outside_line import OutsideLine;"
        "line = OutsideLine(Path(sys.argv[1]), None, app); line.listen(); os._exit(0)"
    )
    subprocess.run([sys.executable, "-c", script, str(shop.record.path)], cwd=TOP, check=True)
    assert os.name == "nt" or Path(line_name(shop.record.path)).exists()
    assert send_press(shop.record.path, OutsidePress("next")) is None


def test_without_a_window_the_record_itself_is_pressed_and_stays_sound(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "demo.shopclock"
    record = str(path)
    assert main.main(["demo", record, "-q"]) == 0
    assert main.main(["start", "bevels", "--record", record]) == 0
    assert "Grind bevels" in capsys.readouterr().out
    assert main.main(["status", "--record", record]) == 0
    assert "Grind bevels 26-10" in capsys.readouterr().out
    assert main.main(["stop", "--record", record, "--quiet"]) == 0
    assert capsys.readouterr() == ("", "")
    assert main.main(["stop", "--record", record]) == 1
    assert capsys.readouterr().err == "Nothing runs. Nothing was changed.\n"
    assert main.main(["undo", "--record", record]) == 0
    assert main.main(["check", "--record", record]) == 0
    opened = Record.open(path, SystemClock())
    assert len([i for i in opened.floor.running.values() if i.kind.attended]) == 1
    opened.close()


def test_hands_press_that_are_named_and_else_those_that_pressed_last(shop: Workshop) -> None:
    shop.batch("Paring 95", 4)
    own, other = shop.record.maker, None
    shop.record.press("Maker", lambda tx: add_maker(tx, "Sorrel", shop.record.bench, "Merrin"))
    other = next(maker for maker in shop.record.floor.all(Maker) if maker.id != own.id)
    assert ask(shop, "start", "saw o", maker="sorrel").done
    assert [i.maker_id for i in shop.running] == [other.id]
    assert ask(shop, "stop", maker="Merrin").said.startswith("Nothing runs.")
    (work,) = running_work(shop.record.floor, shop.record.instant())
    assert work.maker == "Sorrel"
    assert ask(shop, "stop").done
    assert shop.running == []
    assert "There is no maker at this bench 'Wren'" in ask(shop, "stop", maker="Wren").said
