"""Start at log-in: what the system is told reads back as the command that starts this program."""

from __future__ import annotations

import json
import plistlib
import subprocess
import sys
from pathlib import Path

import pytest

from shopclock.screens.shell import at_login
from shopclock.screens.shell.at_login import AtLogin, agent, command, entry
from shopclock.shop.values.errors import ShopError

SYSTEM_PYTHON = "/usr/bin/python3"
READ = """
import json, sys, gi
gi.require_version("Gio", "2.0")
from gi.repository import Gio, GLib
entry = Gio.DesktopAppInfo.new_from_filename(sys.argv[1])
print(json.dumps(GLib.shell_parse_argv(entry.get_commandline())[1]))
"""
AWKWARD = ["/a b/py thon", "-m", "shopclock", "--record", '/shop/50 % "off" $HOME `x` \\ back.shopclock']


def gio() -> bool:
    """Tell whether this machine has the desktop's own reader of entries."""
    tried = subprocess.run([SYSTEM_PYTHON, "-c", "from gi.repository import Gio"], capture_output=True, check=False)
    return tried.returncode == 0


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    return tmp_path


@pytest.mark.skipif(not Path(SYSTEM_PYTHON).exists() or not gio(), reason="python3-gi is not on this machine")
def test_a_desktop_reads_back_the_command_that_was_written(tmp_path: Path) -> None:
    file = tmp_path / "org.shopclock.Shopclock.desktop"
    # GLib reads a percent sign as it stands in the line: it is told from its codes only when the entry is started.
    wanted = [word.replace("%", "%%") for word in AWKWARD]
    file.write_text(entry([SYSTEM_PYTHON, *AWKWARD[1:]]), encoding="utf-8")
    told = subprocess.run([SYSTEM_PYTHON, "-c", READ, str(file)], capture_output=True, text=True, check=True)
    assert json.loads(told.stdout) == [SYSTEM_PYTHON, *wanted[1:]]


def test_one_press_has_it_start_and_another_not(home: Path) -> None:
    login, file = AtLogin(), home / "config/autostart/org.shopclock.Shopclock.desktop"
    assert not login.on
    login.set(True)
    assert login.on
    assert f'Exec="{sys.executable}" "-m" "shopclock"\n' in file.read_text(encoding="utf-8")
    login.set(False)
    assert not login.on
    assert not file.exists()
    login.set(False)


def test_a_record_elsewhere_is_named(home: Path) -> None:
    AtLogin(home / "my shop.shopclock").set(True)
    written = (home / "config/autostart/org.shopclock.Shopclock.desktop").read_text(encoding="utf-8")
    assert f'"--record" "{home}/my shop.shopclock"' in written


def test_a_folder_that_takes_nothing_is_told_in_a_sentence(home: Path) -> None:
    (home / "config").write_text("a file where the folder should be", encoding="utf-8")
    login = AtLogin()
    with pytest.raises(ShopError, match=r"can't be written: .*Nothing was changed"):
        login.set(True)
    assert not login.on


def test_without_a_settings_folder_of_its_own_it_is_the_usual_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_CONFIG_HOME", "not/absolute")
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    AtLogin().set(True)
    assert (tmp_path / ".config/autostart/org.shopclock.Shopclock.desktop").is_file()


def test_a_launch_agent_runs_the_command_at_log_in() -> None:
    assert plistlib.loads(agent(AWKWARD)) == {
        "Label": "org.shopclock.Shopclock",
        "ProgramArguments": AWKWARD,
        "RunAtLoad": True,
    }


def test_a_mac_has_it_among_its_launch_agents(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "darwin")
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    AtLogin().set(True)
    written = (tmp_path / "Library/LaunchAgents/org.shopclock.Shopclock.plist").read_bytes()
    assert plistlib.loads(written)["ProgramArguments"] == command()


def test_a_frozen_program_is_started_by_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "frozen", True, raising=False)
    monkeypatch.setattr(sys, "executable", "/opt/shopclock/shopclock")
    assert command() == ["/opt/shopclock/shopclock"]
    assert at_login.entry(command()).count("Exec=") == 1
