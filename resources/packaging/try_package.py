"""Try the packaged program as a stranger would: .venv/bin/python resources/packaging/try_package.py [PACKAGE.deb].

As root on Debian the package is installed, tried and removed; without one the folder in dist/ is tried. Everything is
done in a home of its own. Ends with 1, and says which, where anything is not as it should be.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

import xlsxwriter

if TYPE_CHECKING:
    from collections.abc import Callable

TOP = Path(__file__).resolve().parents[2]
DESKTOP = Path("/usr/share/applications/org.shopclock.Shopclock.desktop")
LONGEST_S = 120
NOTES = (
    ("date", "stage", "batch", "pattern", "pieces", "minutes"),
    ("2026-01-05", "Grind bevels", "N-1", "Paring 95", "3", "40"),
    ("2026-01-06", "Hand sand", "N-1", "Paring 95", "3", "35"),
)
"""An invented notebook."""


def main(package: Path | None) -> int:
    """Try a package, or the folder; the exit code."""
    if package is not None:
        run("dpkg", "--install", str(package))
    program = "/usr/bin/shopclock" if package is not None else str(TOP / "dist/shopclock/shopclock")
    try:
        with tempfile.TemporaryDirectory(prefix="shopclock-tried-") as home:
            os.environ.update(HOME=home, XDG_STATE_HOME=f"{home}/state", XDG_DATA_HOME=f"{home}/data")
            try_commands(program, Path(home))
            if os.environ.get("DISPLAY") or shutil.which("Xvfb"):
                try_window(program, Path(home), installed=package is not None)
            else:
                print("No Xvfb is here: the window was not tried.")
    finally:
        if package is not None:
            run("dpkg", "--remove", "shopclock")
    if package is not None:
        wrong_if(Path(program).exists() or Path("/usr/lib/shopclock").exists(), "the package left files")
    print("The package works.")
    return 0


def try_commands(program: str, home: Path) -> None:
    """Demo, check, export, import, paper, figures and a screen, all from the package."""
    record = home / "demo.shopclock"
    os.environ["SHOPCLOCK_RECORD"] = str(record)
    run(program, "--version")
    run(program, "demo", str(record))
    run(program, "check")
    for name in ("all.xlsx", "all.csv", "all.json"):
        run(program, "export", str(home / name))
        wrong_if((home / name).stat().st_size < 10_000, f"{name} is too small")
    write_notes(home)
    for name, dry in (("notes.csv", ["--dry-run"]), ("notes.xlsx", [])):
        told = run(program, "import", str(home / name), "--numbers", "minutes", *dry)
        wrong_if("2 stretches of work" not in told, f"{name} was not read")
    run(program, "card", "26-10", str(home / "card.pdf"))
    wrong_if(not (home / "card.pdf").read_bytes().startswith(b"%PDF"), "the card is no PDF")
    run(program, "calendar", str(home / "plan.ics"))
    for words in (["trend", "bevels"], ["plan"], ["costs"], ["figures", "26-07"], ["status"]):
        wrong_if(len(run(program, *words)) < 20, f"{words[0]} says nothing")
    away = ran(program, "server", "init", "host=/nowhere/at/all dbname=x")
    wrong_if(away.returncode != 1 or "The server is not reached" not in away.stderr, "the server's driver isn't there")
    run(program, "tour", str(home / "screens"), "--screen", "bench")
    wrong_if(not list((home / "screens").glob("bench-running*.png")), "no screen was drawn")
    run(program, "check")


def write_notes(home: Path) -> None:
    """Write the notebook as .csv and as .xlsx."""
    (home / "notes.csv").write_text("\n".join(",".join(row) for row in NOTES) + "\n", "utf-8")
    book = xlsxwriter.Workbook(str(home / "notes.xlsx"))
    sheet = book.add_worksheet()
    for number, row in enumerate(NOTES):
        sheet.write_row(number, 0, row)
    book.close()


def try_window(program: str, home: Path, *, installed: bool) -> None:
    """Open the record as a double click does, press into the window from outside, end it: no helper stays."""
    record = home / "demo.shopclock"
    command = f"{program} %f"
    if installed:
        (command,) = (line[5:] for line in DESKTOP.read_text("utf-8").splitlines() if line.startswith("Exec="))
    words = [str(record) if word == "%f" else word for word in command.split()]
    if not os.environ.get("DISPLAY"):
        words = ["xvfb-run", "-a", *words] if shutil.which("xvfb-run") else ["env", "QT_QPA_PLATFORM=offscreen", *words]
    del os.environ["SHOPCLOCK_RECORD"]
    window = subprocess.Popen(words, start_new_session=True)
    try:
        pressed = [program, "start", "bevels", "--record", str(record)]
        until(lambda: heard(pressed), "the window takes no press")
        for press in (["done"], ["stop"], ["undo"], ["status"]):
            run(program, *press, "--record", str(record))
    finally:
        os.killpg(window.pid, 15)
        window.wait()
    until(lambda: not helpers(program), "a helper outlived its window")


def heard(pressed: list[str]) -> bool:
    """Press until it is the window that takes it: before, the record is still free, or being opened."""
    sockets = list(Path(os.environ["XDG_STATE_HOME"]).glob("shopclock/shopclock-press-*"))
    return bool(sockets) and subprocess.run(pressed, check=False).returncode == 0


def helpers(program: str) -> list[int]:
    """Return the numbers of the processes that still are this program."""
    real, found = os.path.realpath(program), []
    for process in Path("/proc").glob("[0-9]*"):
        try:
            if os.path.realpath(process / "exe") == real:
                found.append(int(process.name))
        except OSError:
            continue
    return found


def until(so: Callable[[], bool], otherwise: str) -> None:
    """Wait until something is so."""
    end = time.monotonic() + LONGEST_S
    while not so():
        wrong_if(time.monotonic() > end, otherwise)
        time.sleep(0.2)


def ran(*command: str) -> subprocess.CompletedProcess[str]:
    """Run a command, and say how long it took."""
    began = time.monotonic()
    done = subprocess.run(command, capture_output=True, text=True, timeout=LONGEST_S, check=False)
    print(f"{time.monotonic() - began:6.1f} s  {' '.join(command)[:100]}", flush=True)
    return done


def run(*command: str) -> str:
    """Run a command that has to go well; what it said."""
    done = ran(*command)
    wrong_if(done.returncode != 0, f"{' '.join(command)} ended with {done.returncode}: {done.stdout}{done.stderr}")
    return done.stdout


def wrong_if(wrong: bool, what: str) -> None:
    """End with a sentence where something is wrong."""
    if wrong:
        sys.exit(f"The package does not work: {what}.")


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]) if sys.argv[1:] else None))
