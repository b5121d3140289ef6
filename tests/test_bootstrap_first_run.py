"""The set-up itself: what is begun again, what goes on, what is asked of the person at the keyboard."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from shopclock import dotvenv, first_run


@pytest.fixture
def top(tmp_path: Path) -> Path:
    (tmp_path / "pyproject.toml").write_text('[project]\nname = "shopclock"\n')
    return tmp_path


@pytest.fixture
def steps(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The set-up without a network: which of its steps ran."""
    ran: list[str] = []

    def make(top: Path) -> None:
        ran.append("environment")
        python = dotvenv.python_of(top)
        python.parent.mkdir(parents=True, exist_ok=True)
        python.unlink(missing_ok=True)
        python.symlink_to(sys.executable)

    monkeypatch.setattr(first_run, "_make_environment", make)
    monkeypatch.setattr(first_run, "_fetch_packages", lambda _top, extra: ran.append("packages " + extra))
    monkeypatch.setattr(first_run, "_look_for_qt_libraries", lambda _python: ran.append("libraries"))
    return ran


def _program(path: Path, text: str) -> None:
    path.write_text("#!/bin/sh\n" + text)
    path.chmod(0o755)


def test_the_first_run_does_all_and_the_second_nothing(top: Path, steps: list[str]) -> None:
    first_run.set_up(top, "dev")
    assert steps == ["environment", "packages dev", "libraries"]
    assert dotvenv.ready(top, "dev")
    first_run.set_up(top, "")
    assert len(steps) == 3


def test_each_step_says_a_line(top: Path, steps: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    first_run.set_up(top, "")
    said = capsys.readouterr()
    assert [line[:6] for line in said.err.splitlines()[1:4]] == ["1 of 3", "2 of 3", "3 of 3"]
    assert said.out == ""
    assert len(steps) == 3


def test_what_a_link_leads_to_is_left_as_it_is(
    top: Path, steps: list[str], tmp_path_factory: pytest.TempPathFactory
) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    (elsewhere / "kept").touch()
    (top / ".venv").symlink_to(elsewhere)
    with pytest.raises(SystemExit, match="is a link"):
        first_run.set_up(top, "")
    assert [path.name for path in elsewhere.iterdir()] == ["kept"]
    assert steps == []


def test_a_run_that_was_killed_is_begun_again(top: Path, steps: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    def killed(*_: object) -> None:
        raise RuntimeError  # as good as a kill: nothing is tidied up after it

    with monkeypatch.context() as patch:
        patch.setattr(first_run, "_fetch_packages", killed)
        with pytest.raises(RuntimeError):
            first_run.set_up(top, "dev")
    assert not dotvenv.ready(top, "")
    first_run.set_up(top, "dev")
    assert steps == ["environment", "environment", "packages dev", "libraries"]


def test_a_run_that_ended_with_a_sentence_goes_on(top: Path, steps: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(*_: object) -> None:
        sys.exit("Qt can't open a window, libEGL.so.1 is missing.")

    with monkeypatch.context() as patch:
        patch.setattr(first_run, "_look_for_qt_libraries", missing)
        with pytest.raises(SystemExit, match=r"libEGL\.so\.1"):
            first_run.set_up(top, "")
    assert not dotvenv.ready(top, "")
    first_run.set_up(top, "")
    assert steps == ["environment", "packages ", "packages ", "libraries"]


def test_the_tools_of_the_tests_stay_when_the_window_is_started(top: Path, steps: list[str]) -> None:
    first_run.set_up(top, "dev")
    (top / "pyproject.toml").write_text('[project]\nname = "other"\n')
    first_run.set_up(top, "")
    assert steps[-2] == "packages dev"
    assert dotvenv.ready(top, "dev")


@pytest.fixture
def old_python(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """An old Python runs; the folder is all of its search path."""
    monkeypatch.setattr(first_run, "sys", SimpleNamespace(version_info=(3, 8, 18), exit=sys.exit))
    monkeypatch.setenv("PATH", str(tmp_path))
    return tmp_path


def test_an_old_python_looks_for_a_newer_one_that_answers(old_python: Path) -> None:
    _program(old_python / "python3.13", "exit 127\n")  # a version manager's stand-in for what isn't there
    (old_python / "python3.12").symlink_to(sys.executable)
    assert first_run._new_enough() == str(old_python / "python3.12")


def test_an_old_python_with_no_newer_one_says_so(old_python: Path) -> None:
    with pytest.raises(SystemExit, match=r"needs Python 3\.11 or newer; this is Python 3\.8, and no newer"):
        first_run._new_enough()
    assert not list(old_python.iterdir())


@pytest.mark.parametrize(
    ("said", "missing"),
    [
        ("ImportError: libEGL.so.1: cannot open shared object file: No such file or directory", "libEGL.so.1"),
        ("OSError: libxcb-cursor.so.0: cannot open shared object file", "libxcb-cursor.so.0"),
        ("ModuleNotFoundError: No module named 'PySide6'", "ModuleNotFoundError: No module named 'PySide6'"),
    ],
)
def test_the_missing_library_is_named(tmp_path: Path, said: str, missing: str) -> None:
    _program(tmp_path / "python", f'echo "Traceback"; echo "{said}" >&2; exit 1\n')
    assert first_run._missing_library(tmp_path / "python", "xcb") == missing


def test_no_library_is_missing_where_these_tests_run() -> None:
    assert first_run._missing_library(Path(sys.executable), "offscreen") == ""


@pytest.mark.parametrize(
    ("display", "draws", "goes_on"), [("", True, True), ("", False, False), (":0", True, False), (":0", False, False)]
)
def test_without_a_screen_it_is_enough_that_qt_can_draw(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, display: str, *, draws: bool, goes_on: bool
) -> None:
    drawing = "exit 0" if draws else "exit 1"
    _program(
        tmp_path / "python", f'[ "$3" = offscreen ] && {drawing}; echo "OSError: libxcb-cursor.so.0: no"; exit 1\n'
    )
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("DISPLAY", display)
    monkeypatch.delenv("QT_QPA_PLATFORM", raising=False)
    try:
        first_run._look_for_qt_libraries(tmp_path / "python")
    except SystemExit:
        assert not goes_on
    else:
        assert goes_on


def test_who_may_not_install_is_told_the_line_to_type(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    _program(tmp_path / "apt-get", "exit 1\n")
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    with pytest.raises(SystemExit) as end:
        first_run._add_debian_packages("libEGL.so.1 is missing", ["libegl1", "libgl1"])
    assert str(end.value).splitlines()[-1] == "    sudo apt-get install -y libegl1 libgl1"


@pytest.mark.parametrize("fails", [False, True])
def test_root_on_debian_has_them_installed(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, *, fails: bool) -> None:
    asked = tmp_path / "asked"
    _program(tmp_path / "apt-get", f'echo "$@" >> "{asked}"\necho "E: no space left"\nexit {int(fails)}\n')
    monkeypatch.setenv("PATH", str(tmp_path), prepend=os.pathsep)
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    if fails:
        with pytest.raises(SystemExit, match="could not be added: E: no space left"):
            first_run._add_debian_packages("why", ["libegl1"])
    else:
        first_run._add_debian_packages("why", ["libegl1"])
    assert asked.read_text().splitlines() == ["-q update", "-q install -y --no-install-recommends libegl1"]


def test_other_systems_are_sent_to_their_package_manager(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(SystemExit, match="Add it with this system's package manager"):
        first_run._add_debian_packages("libEGL.so.1 is missing", ["libegl1"])
