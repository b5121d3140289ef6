"""The door: when the set-up runs, when it doesn't, and what an old Python is told."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from shopclock import __main__ as door
from shopclock import bootstrap, dotvenv, first_run

TOP = Path(__file__).resolve().parents[1]
PROJECT = '[project]\nname = "shopclock"\n'


@pytest.fixture
def top(tmp_path: Path) -> Path:
    """A checkout whose .venv was set up to the end, with the extra dev."""
    (tmp_path / "pyproject.toml").write_text(PROJECT + "\n[tool.ruff]\nline-length = 120\n")
    python = dotvenv.python_of(tmp_path)
    python.parent.mkdir(parents=True)
    python.symlink_to(sys.executable)
    dotvenv.stamp_file(tmp_path).write_text(dotvenv.wanted(tmp_path) + "\ndev")
    return tmp_path


@pytest.mark.parametrize(
    ("arguments", "window"),
    [
        ([], True),
        (["--demo"], True),
        (["--record", "my.shop"], True),
        (["--record=my.shop", "--demo"], False),
        (["--record", "figures"], True),
        (["figures"], False),
        (["--record", "my.shop", "figures"], False),
        (["--help"], False),
        (["--version"], False),
        (["--wrong"], False),
        (["/home/maker/my shop.shopclock"], True),
        (["my.shopclock", "--demo"], False),
        (["--my.shopclock"], False),
        (["my.txt"], False),
    ],
)
def test_the_window_opens_unless_a_command_or_a_question_is_given(arguments: list[str], *, window: bool) -> None:
    assert door.wants_window(arguments) is window


@pytest.mark.parametrize(
    ("platform", "environment", "screenless"),
    [
        ("linux", {}, True),
        ("linux", {"DISPLAY": ""}, True),
        ("linux", {"DISPLAY": ":0"}, False),
        ("linux", {"WAYLAND_DISPLAY": "wayland-0"}, False),
        ("linux", {"QT_QPA_PLATFORM": "offscreen"}, False),
        ("darwin", {}, False),
        ("win32", {}, False),
    ],
)
def test_a_screen_is_missed_on_linux_alone(platform: str, environment: dict[str, str], *, screenless: bool) -> None:
    assert door.screenless(platform, environment) is screenless


def test_without_a_screen_one_line_names_the_tour(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(bootstrap, "enter", lambda *_: None)
    assert door.main([]) == 1
    assert capsys.readouterr().err.splitlines() == [door.NO_SCREEN]
    assert "shopclock tour FOLDER" in door.NO_SCREEN


@pytest.mark.parametrize("extra", ["", "dev"])
def test_a_finished_set_up_is_not_run_again(top: Path, extra: str) -> None:
    assert dotvenv.ready(top, extra)


def test_the_tools_of_the_linters_may_change_without_a_new_set_up(top: Path) -> None:
    (top / "pyproject.toml").write_text(PROJECT + "\n[tool.ruff]\nline-length = 80\n")
    assert dotvenv.ready(top, "dev")


def test_other_packages_call_for_a_new_set_up(top: Path) -> None:
    (top / "pyproject.toml").write_text(PROJECT + 'dependencies = ["click"]\n')
    assert not dotvenv.ready(top, "")


def test_a_moved_checkout_calls_for_a_new_set_up(top: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    moved = tmp_path_factory.mktemp("elsewhere") / "shopclock"
    shutil.move(top, moved)
    assert not dotvenv.ready(moved, "")


def test_a_python_that_has_gone_calls_for_a_new_set_up(top: Path) -> None:
    python = dotvenv.python_of(top)
    python.unlink()
    python.symlink_to(top / "gone")
    assert not dotvenv.ready(top, "")


def test_the_tests_need_more_than_the_window(top: Path) -> None:
    dotvenv.stamp_file(top).write_text(dotvenv.wanted(top) + "\n")
    assert dotvenv.ready(top, "")
    assert not dotvenv.ready(top, "dev")


def test_from_outside_the_program_starts_again_inside(top: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[list[str]] = []

    def instead(_path: str, command: list[str]) -> None:
        started.append(command)
        sys.exit()  # the real one doesn't come back either

    monkeypatch.setattr(bootstrap, "checkout", lambda: top)
    monkeypatch.setattr(sys, "prefix", sys.base_prefix)
    monkeypatch.setattr(os, "execv", instead)
    with pytest.raises(SystemExit):
        bootstrap.enter("shopclock", ["--demo"])
    assert started == [[str(dotvenv.python_of(top)), "-m", "shopclock", "--demo"]]


def test_inside_a_finished_environment_nothing_happens(top: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bootstrap, "checkout", lambda: top)
    monkeypatch.setattr(sys, "prefix", str(top / ".venv"))
    monkeypatch.setattr(first_run, "set_up", lambda *_: pytest.fail("set up again"))
    monkeypatch.setattr(os, "execv", lambda *_: pytest.fail("started again"))
    bootstrap.enter("shopclock", [])


@pytest.fixture
def others(tmp_path: Path) -> Path:
    """A checkout with an environment in .venv that somebody else has made, without pip and without packages."""
    shutil.copytree(TOP / "shopclock", tmp_path / "shopclock", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(TOP / "pyproject.toml", tmp_path)
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(tmp_path / ".venv")], check=True)
    (tmp_path / ".venv" / "mine").write_text("mine")
    return tmp_path


def _start(python: str, top: Path, path: str = "/usr/bin:/bin") -> subprocess.CompletedProcess[str]:
    alone = {"PATH": path, "HOME": str(top)}
    command = [python, "-m", "shopclock", "--version"]
    return subprocess.run(command, cwd=top, env=alone, capture_output=True, text=True, check=False)


@pytest.mark.parametrize("inside", [True, False])
def test_an_environment_of_another_tool_is_left_as_it_is_and_told_what_it_lacks(others: Path, *, inside: bool) -> None:
    before = sorted(path for path in (others / ".venv").rglob("*") if "__pycache__" not in path.parts)
    done = _start(str(dotvenv.python_of(others)) if inside else os.path.realpath(sys.executable), others)
    assert done.returncode == 1
    assert (
        "not one that Shopclock has made; it was left as it is. It lacks PySide6-Essentials, pyqtgraph" in done.stderr
    )
    assert "    .venv/bin/python -m ensurepip && .venv/bin/python -m pip install -e .\n" in done.stderr
    assert "Traceback" not in done.stderr
    assert sorted(path for path in (others / ".venv").rglob("*") if "__pycache__" not in path.parts) == before


def test_where_there_is_uv_the_line_to_type_is_its_own(others: Path, tmp_path: Path) -> None:
    (tmp_path / "bin").mkdir()
    (tmp_path / "bin" / "uv").write_text("#!/bin/sh\n")
    (tmp_path / "bin" / "uv").chmod(0o755)
    done = _start(str(dotvenv.python_of(others)), others, f"{tmp_path / 'bin'}:/usr/bin:/bin")
    assert "    uv pip install --python .venv/bin/python -e .\n" in done.stderr


def test_an_environment_of_another_tool_that_holds_the_packages_is_used_as_it_is(others: Path) -> None:
    library = next((others / ".venv").glob("lib/python3*/site-packages"))
    with (library / "here.pth").open("w") as file:
        file.writelines(f"{path}\n" for path in sys.path if path.endswith("site-packages"))
    done = _start(os.path.realpath(sys.executable), others)
    assert done.stdout.startswith("shopclock ")
    assert not dotvenv.stamp_file(others).exists()


def test_an_environment_whose_python_is_gone_is_left_and_told(others: Path) -> None:
    dotvenv.python_of(others).unlink()
    done = _start(os.path.realpath(sys.executable), others)
    assert done.returncode == 1
    assert done.stderr.splitlines()[-1].endswith(
        "Its Python does not start. Move .venv away, and the next start makes one of its own."
    )
    assert (others / ".venv" / "mine").read_text() == "mine"


def test_an_installed_wheel_has_no_set_up(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(bootstrap, "__file__", str(tmp_path / "shopclock" / "bootstrap.py"))
    monkeypatch.setattr(first_run, "set_up", lambda *_: pytest.fail("set up"))
    assert bootstrap.checkout() is None
    bootstrap.enter("shopclock", [])


def test_an_old_python_gets_one_sentence(tmp_path: Path) -> None:
    old = _old_python()
    if old is None:
        pytest.skip("no Python older than 3.11 on this machine; test_house parses the files as 3.8 would")
    shutil.copytree(TOP / "shopclock", tmp_path / "shopclock", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(TOP / "pyproject.toml", tmp_path)
    alone = {**os.environ, "PATH": str(tmp_path)}
    done = subprocess.run(
        [old, "-m", "shopclock"], cwd=tmp_path, env=alone, capture_output=True, text=True, check=False
    )
    assert done.returncode == 1
    assert done.stderr.splitlines()[-1].startswith("Shopclock needs Python 3.11 or newer; this is Python 3.")
    assert "Traceback" not in done.stderr


def _old_python() -> str | None:
    """The real path of a Python 3.8 to 3.10; a version manager's stand-ins need PYENV_VERSION to answer."""
    for version in ("3.8", "3.9", "3.10"):
        found = shutil.which("python" + version)
        command = [found or "false", "-c", "import sys; print(sys.executable)"]
        chosen = {**os.environ, "PYENV_VERSION": version}
        asked = subprocess.run(command, env=chosen, capture_output=True, text=True, check=False)
        if found and asked.returncode == 0:
            return asked.stdout.strip()
    return None
