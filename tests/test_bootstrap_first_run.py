"""The set-up itself: what is begun again, what goes on, what is asked of the person at the keyboard."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING

import pytest

from shopclock import dotvenv, first_run, first_run_told

if TYPE_CHECKING:
    from collections.abc import Callable


@pytest.fixture
def top(tmp_path: Path) -> Path:
    (tmp_path / "pyproject.toml").write_text('[project]\nname = "shopclock"\n')
    return tmp_path


@pytest.fixture
def steps(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The set-up without a network: which of its steps ran."""
    ran: list[str] = []

    def make(top: Path, extra: str) -> None:
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


def test_a_run_that_was_killed_while_it_cleared_is_begun_again(top: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (top / ".venv" / "lib").mkdir(parents=True)
    (top / ".venv" / "lib" / "left").touch()
    (top / ".venv" / "link").symlink_to(top / "pyproject.toml")
    first_run._mark(top, dotvenv.BEGUN, "dev")
    first_run._clear(top)
    assert [path.name for path in (top / ".venv").iterdir()] == [dotvenv.stamp_file(top).name]
    assert (top / "pyproject.toml").exists()
    assert not dotvenv.of_another_tool(top)


@pytest.mark.parametrize(
    ("make", "others"),
    [
        (lambda _: None, False),
        (lambda venv: venv.mkdir(), False),
        (lambda venv: (venv.mkdir(), (venv / "pyvenv.cfg").touch()), True),
        (lambda venv: venv.write_text("a file"), True),
        (lambda venv: venv.symlink_to("/nowhere"), True),
    ],
)
def test_what_bears_no_mark_of_ours_is_somebody_elses(
    top: Path, make: Callable[[Path], object], *, others: bool
) -> None:
    make(top / ".venv")
    assert dotvenv.of_another_tool(top) is others


def search_path(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    """A fake uv comes first; what else is there stays."""
    monkeypatch.setenv("PATH", str(folder), prepend=os.pathsep)


@pytest.mark.parametrize("fails", [False, True])
def test_where_uv_is_there_it_fetches_and_where_it_fails_pip_does(
    top: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, fails: bool
) -> None:
    asked = tmp_path / "asked"
    (tmp_path / "bin").mkdir()
    _program(tmp_path / "bin" / "uv", f'echo "uv $1 $2" >> "{asked}"\nexit {int(fails)}\n')
    python = dotvenv.python_of(top)
    python.parent.mkdir(parents=True)
    _program(python, f'echo "pip $3" >> "{asked}"\n')
    search_path(monkeypatch, tmp_path / "bin")
    first_run._fetch_packages(top, "dev")
    assert asked.read_text().splitlines() == ["uv pip install", *(["pip --version", "pip install"] if fails else [])]


def test_without_a_network_it_says_so_in_these_words(
    top: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    python = dotvenv.python_of(top)
    python.parent.mkdir(parents=True)
    _program(
        python,
        "echo 'WARNING: Retrying (Retry(total=1)) after connection broken by NewConnectionError(Failed to establish a"
        " new connection: [Errno -3] Temporary failure in name resolution): /simple/hatchling/'\n"
        "echo 'ERROR: No matching distribution found for hatchling'\nexit 1\n",
    )
    monkeypatch.setattr(first_run.shutil, "which", lambda _: None)
    with pytest.raises(SystemExit, match="There is no network here") as end:
        first_run._fetch_packages(top, "")
    assert str(end.value).endswith("What came is kept. Connect, and start again.")
    assert "no network; trying again" in capsys.readouterr().err


def test_another_reason_is_told_as_pip_tells_it(top: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    python = dotvenv.python_of(top)
    python.parent.mkdir(parents=True)
    _program(python, "echo 'ERROR: Could not install: [Errno 28] No space left on device'\nexit 1\n")
    monkeypatch.setattr(first_run.shutil, "which", lambda _: None)
    with pytest.raises(SystemExit, match=r"could not be fetched.*No space left on device"):
        first_run._fetch_packages(top, "")


def test_it_says_how_far_it_is_while_packages_are_put_in_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(first_run_told, "SECOND", 0.01)
    monkeypatch.setattr(first_run_told, "QUIET_S", 1)
    library = tmp_path / "lib" / "python3.11" / "site-packages"
    (library / "old-1.dist-info").mkdir(parents=True)
    (library / "old-1.dist-info" / "RECORD").touch()
    (tmp_path / "seen").mkdir()
    heard: list[str] = []

    def say(line: str) -> None:
        heard.append(line.strip())
        if "1 of 2" in line:
            (tmp_path / "seen" / "enough").touch()

    script = tmp_path / "pip"
    _program(
        script,
        "echo 'Collecting PySide6-Essentials<6.12'; echo 'Collecting file:///a'\n"
        f"echo 'Installing collected packages: a, b'; mkdir '{library}/a-1.dist-info'\n"
        f"touch '{library}/a-1.dist-info/RECORD'; n=0\n"
        f"while [ ! -e '{tmp_path}/seen/enough' ] && [ $n -lt 3000 ]; do sleep 0.01; n=$((n + 1)); done\n",
    )
    told = first_run_told.Told(tmp_path / "bin" / "python", say)
    assert told.follow([str(script)]) == 0
    assert heard[0] == "PySide6-Essentials"
    assert "all fetched; putting them in place" in heard
    assert heard[-1].startswith("1 of 2 in place: ")


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
