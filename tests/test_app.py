"""What a start imports: the window is there before the record is read; what the first screen does without is left."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from shopclock import __main__ as door
from shopclock import app
from shopclock.commands import main
from shopclock.shop.work import begin
from tests.record.on_disk import DiskShop

TOP = Path(__file__).resolve().parents[1]
HEAVY = {"pandas", "numpy", "scipy", "pyqtgraph", "xlsxwriter", "alembic"}
LATER = {
    *("concurrent.futures.process", "multiprocessing", "shopclock.analysis", "shopclock.demo", "shopclock.exchange"),
    *(
        "shopclock.record.check.check",
        "shopclock.record.read.history",
        "shopclock.record.file.migrate",
        "shopclock.record.read.rows",
    ),
    *("shopclock.screens.today", "shopclock.screens.batches", "shopclock.screens.review", "shopclock.screens.trends"),
}
RUN = """
import json, sys
from PySide6.QtWidgets import QApplication
from shopclock import app
from shopclock.screens.start.opening import Opening
from shopclock.screens.shell.shell import Shell

imported = {}
go_on, start = Opening.go_on, Shell.start

def painted(opening):
    imported["painted"] = sorted(sys.modules)
    go_on(opening)

def started(shell, key):
    start(shell, key)
    imported[key] = sorted(sys.modules)
    QApplication.exit(0)

Opening.go_on, Shell.start = painted, started
app.main(["--record", sys.argv[1]])
print(json.dumps(imported))
"""


@pytest.fixture
def imported(tmp_path: Path) -> dict[str, set[str]]:
    """The modules that are there at the first paint, and when the Bench is up for somebody at work."""
    shop = DiskShop(tmp_path, 3)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.close()
    command = [sys.executable, "-c", RUN, str(shop.path)]
    environment = os.environ | {"QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run(command, cwd=TOP, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return {when: set(names) for when, names in json.loads(done.stdout).items()}


def test_a_start_imports_what_its_screens_need_when_they_need_it(imported: dict[str, set[str]]) -> None:
    assert set(imported) == {"painted", "bench"}
    assert imported["painted"] & (HEAVY | LATER | {"sqlalchemy", "shopclock.record.press.record"}) == set()
    assert {"sqlalchemy", "shopclock.screens.bench.screen"} <= imported["bench"]
    assert imported["bench"] & (HEAVY | LATER) == set()


@pytest.mark.skipif(sys.platform != "linux", reason="only there a screen is named by the environment")
def test_a_screen_that_does_not_answer_is_told_in_a_sentence() -> None:
    alone = {k: v for k, v in os.environ.items() if k not in ("WAYLAND_DISPLAY", "QT_QPA_PLATFORM")}
    done = subprocess.run(
        [sys.executable, "-m", "shopclock", "--demo"], cwd=TOP, env={**alone, "DISPLAY": ":4711"}, capture_output=True,
        text=True, check=False, timeout=300,
    )  # fmt: skip
    assert done.returncode == 1
    assert done.stderr == "The screen :4711 does not answer, so no window opens. Nothing was changed.\n"


def test_a_library_that_qt_misses_is_named() -> None:
    said = 'Could not load the Qt platform plugin "xcb" in "" even though it was found.\nThis application failed'
    assert "apt install libxcb-cursor0" in app.no_window(said)


def test_a_library_without_which_qt_cannot_be_imported_is_told_by_window_and_command(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    def missed(*_: object, **__: object) -> int:
        raise ImportError("libEGL.so.1: cannot open shared object file: No such file or directory")

    monkeypatch.setenv("DISPLAY", ":1")
    monkeypatch.setattr(app, "main", missed)
    told = "libEGL.so.1 of the system is missing, which Qt needs. Nothing was changed. On Debian and Ubuntu type this"
    assert door.main(["--demo"]) == 1
    assert capsys.readouterr().err.startswith(told)
    monkeypatch.setattr(main.commands, "main", missed)
    assert main.main(["card", "26-10", str(tmp_path / "card.pdf")]) == 1
    said = capsys.readouterr().err
    assert said.startswith(told)
    assert "sudo apt-get install -y libegl1 libgl1" in said


def test_another_import_that_fails_is_a_mistake_of_ours(monkeypatch: pytest.MonkeyPatch) -> None:
    def missed(*_: object) -> int:
        raise ImportError("No module named 'shopclock.nothing'")

    monkeypatch.setenv("DISPLAY", ":1")
    monkeypatch.setattr(app, "main", missed)
    with pytest.raises(ImportError, match="nothing"):
        door.main(["--demo"])
