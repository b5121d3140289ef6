"""The first run from a checkout: makes .venv, fetches the packages, looks for Qt's system libraries.

Runs before anything is installed, so it rests on the standard library alone and parses on Python 3.8.
"""

from __future__ import annotations

import os
import re
import shutil
import sys
from contextlib import contextmanager
from subprocess import DEVNULL, PIPE, STDOUT, CompletedProcess, run
from typing import TYPE_CHECKING

from shopclock.dotvenv import BEGUN, OLDEST, python_of, ready, stamp, stamp_file, wanted
from shopclock.first_run_told import Told

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

_STOPPED = "stopped"
"""Mark of a set-up that ended with a sentence: what is in .venv is sound, and the next start goes on from there."""
_NEWER = ("python3.13", "python3.12", "python3.11", "python3.14")
# fmt: off
QT_PACKAGES = (
    "libegl1", "libgl1", "libglib2.0-0", "libdbus-1-3", "libfontconfig1", "libfreetype6", "libxkbcommon0",
    "libxkbcommon-x11-0", "libwayland-client0", "libwayland-cursor0", "libwayland-egl1", "libx11-xcb1",
    "libxcb1", "libxcb-cursor0", "libxcb-glx0", "libxcb-icccm4", "libxcb-image0", "libxcb-keysyms1",
    "libxcb-randr0", "libxcb-render0", "libxcb-render-util0", "libxcb-shape0", "libxcb-shm0", "libxcb-sync1",
    "libxcb-xfixes0", "libxcb-xinerama0", "libxcb-xkb1", "fonts-dejavu-core",
)
# fmt: on

# Fails with the name of the library that is missing; without the X11 plug-in Qt itself would only abort.
_QT_PROBE = """
import ctypes, pathlib, sys
import PySide6.QtNetwork, PySide6.QtPrintSupport, PySide6.QtSvg, PySide6.QtWidgets
plugin = pathlib.Path(PySide6.__file__).parent / "Qt/plugins/platforms/libqxcb.so"
if "xcb" in sys.argv[1] and plugin.exists():
    ctypes.CDLL(str(plugin))
"""


def set_up(top: Path, extra: str) -> None:
    """Make .venv as pyproject.toml asks, a line per step; a run that broke off is begun again."""
    with _one_at_a_time(top):
        if ready(top, extra):
            return
        if (top / ".venv").is_symlink():
            sys.exit(
                "The environment .venv is a link and does not fit this checkout. What it leads to was left as it is."
                " Remove the link, and the next start makes an environment here."
            )
        _say("Setting Shopclock up, once: a few minutes, about 800 MB in .venv.")
        try:
            extra = _install(top, extra)
        except SystemExit:
            _mark(top, _STOPPED, extra or stamp(top)[1])
            raise
        except KeyboardInterrupt:
            sys.exit("\nStopped. The next start begins the set-up again; what was fetched is kept.")
        _mark(top, wanted(top), extra)
        _say("Ready.")


def _install(top: Path, extra: str) -> str:
    mark, had = stamp(top)
    extra = extra or had
    _say("1 of 3  a Python environment of its own")
    if mark in ("", BEGUN) or _run(str(python_of(top)), "--version").returncode:
        _make_environment(top, extra)
    _mark(top, BEGUN, extra)
    _say("2 of 3  packages")
    _fetch_packages(top, extra)
    _say("3 of 3  Qt's system libraries")
    _look_for_qt_libraries(python_of(top))
    return extra


def _mark(top: Path, mark: str, extra: str) -> None:
    """Write into .venv that it is ours, and how far it is; where there is none there is nothing to mark."""
    if (top / ".venv").is_dir():
        stamp_file(top).write_text(f"{mark}\n{extra}", "utf-8")


def _make_environment(top: Path, extra: str) -> None:
    """Make .venv anew. It bears our mark from the first file to the last, so that only what is ours is cleared."""
    python, uv = _new_enough(), shutil.which("uv")
    if uv is None and _run(python, "-c", "import ensurepip, venv").returncode:
        _add_debian_packages("This Python can't make environments", [_venv_package(python)])
    (top / ".venv").mkdir(exist_ok=True)
    _mark(top, BEGUN, extra)
    _clear(top)
    if (
        uv is not None
        and not _run(uv, "venv", "-q", "--seed", "--allow-existing", "--python", python, str(top / ".venv")).returncode
    ):
        return
    made = _run(python, "-m", "venv", str(top / ".venv"))
    if made.returncode:
        sys.exit(f"The environment .venv could not be made: {_last_line(made.stdout)}")


def _clear(top: Path) -> None:
    """Empty .venv but for our mark."""
    for path in (top / ".venv").iterdir():
        if path == stamp_file(top):
            continue
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(str(path))
        else:
            path.unlink()


def _new_enough() -> str:
    """Find a Python to build with: this one, else a newer one on the search path, else a sentence and the end."""
    if sys.version_info >= OLDEST:
        return str(getattr(sys, "_base_executable", sys.executable))
    test = f"import sys; sys.exit(sys.version_info < {OLDEST})"
    for found in filter(None, map(shutil.which, _NEWER)):
        if _run(found, "-c", test).returncode == 0:
            return found
    this, oldest = ("{}.{}".format(*version) for version in (sys.version_info, OLDEST))
    sys.exit(f"Shopclock needs Python {oldest} or newer; this is Python {this}, and no newer one was found.")


def _venv_package(python: str) -> str:
    version = _run(python, "-c", "import sys; print('%d.%d' % sys.version_info[:2])").stdout.strip()
    return f"python{version}-venv"


def _fetch_packages(top: Path, extra: str) -> None:
    project = f"{top}[{extra}]" if extra else str(top)
    uv, python = shutil.which("uv"), str(python_of(top))
    told = Told(python_of(top), _say)
    if uv is not None and not told.follow([uv, "pip", "install", "--python", python, "--editable", project]):
        return
    if not told.no_network:
        if _run(python, "-m", "pip", "--version").returncode:
            _run(python, "-m", "ensurepip")
        options = ("--progress-bar=off", "--no-input", "--disable-pip-version-check", "--retries=2")
        told = Told(python_of(top), _say)
        if not told.follow([python, "-m", "pip", "install", *options, "--editable", project]):
            return
    if told.no_network:
        sys.exit(
            "There is no network here, or it doesn't reach pypi.org, where the packages come from."
            " What came is kept. Connect, and start again."
        )
    sys.exit(f"The packages could not be fetched; what came is kept, start again when this is mended: {told.why}")


def _look_for_qt_libraries(python: Path) -> None:
    """See that Qt can open a window; where there is no screen anyway, it is enough that it can draw."""
    try:
        _mend_qt(python, os.environ.get("QT_QPA_PLATFORM", "xcb"))
    except SystemExit as end:
        if os.environ.get("DISPLAY") or _missing_library(python, "offscreen"):
            raise
        _say(str(end))


def _mend_qt(python: Path, platform: str) -> None:
    missing = _missing_library(python, platform)
    if missing:
        _add_debian_packages(f"Qt can't open a window, {missing} is missing", QT_PACKAGES)
        missing = _missing_library(python, platform)
    if missing:
        sys.exit(f"Qt can't open a window, {missing} is still missing.")


def library_missed(error: ImportError) -> str:
    """Return the sentence for a system library that an import asked for in vain; empty where it failed otherwise."""
    named = re.match(r"lib[\w.+-]+\.so[.\d]*(?=: cannot open shared object file)", str(error))
    if named is None:
        return ""
    return (
        f"{named.group()} of the system is missing, which Qt needs. Nothing was changed. On Debian and Ubuntu "
        f"type this line, then start again:\n    sudo apt-get install -y {' '.join(QT_PACKAGES)}"
    )


def _missing_library(python: Path, platform: str) -> str:
    """Name the system library that Qt asks for in vain; empty if it has all."""
    probe = _run(str(python), "-c", _QT_PROBE, platform)
    if not probe.returncode:
        return ""
    reason = _last_line(probe.stdout)
    named = re.search(r"lib[\w.+-]+\.so[.\d]*", reason)
    return named.group() if named else reason


def _add_debian_packages(why: str, packages: Sequence[str]) -> None:
    """Install them as root on Debian and its like, else say what to type and end."""
    if shutil.which("apt-get") is None:
        sys.exit(f"{why}. Add it with this system's package manager and start again.")
    if os.geteuid() != 0:
        sys.exit(f"{why}. Type this line, then start again:\n    sudo apt-get install -y {' '.join(packages)}")
    _say(f"        {why}; adding Debian's packages")
    _run("apt-get", "-q", "update")
    added = _run("apt-get", "-q", "install", "-y", "--no-install-recommends", *packages)
    if added.returncode:
        sys.exit(f"{why}, and Debian's packages could not be added: {_last_line(added.stdout)}")


def _run(*command: str) -> CompletedProcess[str]:
    """Run to the end with nobody to answer questions; a program that isn't there counts as failed."""
    quiet = dict(os.environ, DEBIAN_FRONTEND="noninteractive")
    try:
        return run(command, stdout=PIPE, stderr=STDOUT, stdin=DEVNULL, text=True, env=quiet, check=False)
    except OSError as error:
        return CompletedProcess(command, 127, str(error))


@contextmanager
def _one_at_a_time(top: Path) -> Iterator[None]:
    """Two starts at once: the second waits for the first, where the system has such locks."""
    try:
        from fcntl import LOCK_EX, flock
    except ImportError:  # Windows
        yield
        return
    with (top / "pyproject.toml").open("rb") as held:
        flock(held, LOCK_EX)
        yield


def _last_line(text: str) -> str:
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    return lines[-1] if lines else "no reason was given."


def _say(line: str) -> None:
    print(line, file=sys.stderr, flush=True)
