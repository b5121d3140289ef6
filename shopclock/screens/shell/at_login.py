"""Start at log-in: what each system starts by itself when its user logs in.

Linux: a desktop entry in the autostart folder (freedesktop.org, Desktop Application Autostart Specification). Windows:
a value under the user's Run key. macOS: a launch agent. Tried on Linux; the other two are from memory and not tried.
"""

from __future__ import annotations

import os
import plistlib
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

from PySide6.QtCore import QSettings

from shopclock.record.file.on_disk import make_folder
from shopclock.shop.values.errors import ShopError

APP_ID = "org.shopclock.Shopclock"
RUN_KEY = r"HKEY_CURRENT_USER\Software\Microsoft\Windows\CurrentVersion\Run"
NAME = "Shopclock"


def command(record: Path | None = None) -> list[str]:
    """Return what starts this program, on a record elsewhere than at its usual place where one is given."""
    frozen = getattr(sys, "frozen", False)
    begins = [sys.executable] if frozen else [sys.executable, "-m", "shopclock"]
    return begins if record is None else [*begins, "--record", str(record)]


def entry(words: list[str]) -> str:
    """Return a desktop entry that runs a command; its Exec line is quoted as the Desktop Entry Specification has it."""
    return f"""[Desktop Entry]
Type=Application
Version=1.4
Name=Shopclock
Exec={" ".join(_quoted(word) for word in words)}
Path={_plain(str(Path.home() if getattr(sys, "frozen", False) else _checkout()))}
Icon={APP_ID}
Terminal=false
"""


def agent(words: list[str]) -> bytes:
    """Return a launch agent that runs a command once its user has logged in (launchd.plist(5))."""
    return plistlib.dumps({"Label": APP_ID, "ProgramArguments": words, "RunAtLoad": True})


class AtLogin:
    """Start of this program when its user logs in to this machine."""

    def __init__(self, record: Path | None = None) -> None:
        self._record = record

    @property
    def on(self) -> bool:
        """True if it does."""
        if sys.platform == "win32":
            return bool(_run_key().value(NAME))
        return _place().is_file()

    def set(self, on: bool) -> None:  # one plain switch
        """Have it start, or not. ShopError says what the system didn't let be written."""
        words = command(self._record)
        if sys.platform == "win32":
            key = _run_key()
            key.setValue(NAME, subprocess.list2cmdline(words)) if on else key.remove(NAME)
            return
        place = _place()
        try:
            if not on:
                place.unlink(missing_ok=True)
                return
            make_folder(place.parent)
            place.write_bytes(agent(words) if sys.platform == "darwin" else entry(words).encode())
        except OSError as error:
            with suppress(OSError):
                if on:
                    place.unlink(missing_ok=True)
            what = "written" if on else "taken away"
            raise ShopError(f"{place} can't be {what}: {error.strerror}. Nothing was changed.") from error


def _run_key() -> QSettings:
    return QSettings(RUN_KEY, QSettings.Format.NativeFormat)


def _place() -> Path:
    """Return the file that has it start."""
    if sys.platform == "darwin":
        return Path.home() / "Library" / "LaunchAgents" / f"{APP_ID}.plist"
    config = os.environ.get("XDG_CONFIG_HOME", "")
    return (Path(config) if Path(config).is_absolute() else Path.home() / ".config") / "autostart" / f"{APP_ID}.desktop"


def _checkout() -> Path:
    return Path(__file__).resolve().parents[3]


def _plain(text: str) -> str:
    """Escape a string value: a backslash, and what breaks lines."""
    return text.replace("\\", "\\\\").replace("\n", "\\n")


def _quoted(word: str) -> str:
    """Quote an argument: first for the command line, then as a string value, and each % twice."""
    escaped = "".join(f"\\{sign}" if sign in '"`$\\' else sign for sign in word)
    return _plain(f'"{escaped}"').replace("%", "%%")
