"""The news of fetching packages: what pip or uv says in our words, and that it goes on while they say nothing.

Runs before anything is installed, so it rests on the standard library alone and parses on Python 3.8.
"""

from __future__ import annotations

import re
from subprocess import DEVNULL, PIPE, STDOUT, Popen
from threading import Event, Thread
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

SECOND = 1.0
QUIET_S = 5
"""So long nothing is said before it says that it goes on."""
_NO_NETWORK = re.compile(
    r"name resolution|Name or service not known|getaddrinfo failed|nodename nor servname|Failed to resolve"
    r"|Network is unreachable|No route to host|NewConnectionError|ConnectTimeout|dns error|tcp connect error"
    r"|are you offline|failed to lookup address|Cannot connect to proxy|Connection refused",
    re.IGNORECASE,
)
_FETCHES = re.compile(r"Collecting ([A-Za-z0-9][\w-]*)(?!\S*://)|Downloading ([A-Za-z0-9][\w-]*) \(")
_PLACES = re.compile(r"Installing collected packages: (.+)")


class Told:
    """News of one program that fetches packages; `why` is its last complaint, `no_network` that it reached nobody."""

    def __init__(self, python: Path, say: Callable[[str], None]) -> None:
        self.why = "no reason was given."
        self.no_network = False
        self._say = say
        self._library = python.parent.parent
        self._seconds = self._quiet = 0
        self._named: set[str] = set()
        self._placing = 0
        self._there = 0

    def follow(self, command: Sequence[str]) -> int:
        """Run a program to its end and tell how it goes; its exit code, 127 where it isn't there."""
        self._there = self._in_place()
        try:
            started = Popen(command, stdout=PIPE, stderr=STDOUT, stdin=DEVNULL, text=True, errors="replace")
        except OSError as error:
            self.why = str(error)
            return 127
        done = Event()
        ticking = Thread(target=self._tick, args=(done,), daemon=True)
        ticking.start()
        try:
            with started:
                for line in started.stdout or ():
                    self._hear(line.strip())
        finally:
            done.set()
            ticking.join()
        return started.returncode

    def _hear(self, line: str) -> None:
        fetched, placed = _FETCHES.match(line), _PLACES.match(line)
        if fetched:
            self._tell_once(fetched.group(1) or fetched.group(2))
        elif placed:
            self._placing = placed.group(1).count(",") + 1
            self._tell("all fetched; putting them in place")
        if _NO_NETWORK.search(line):
            if not self.no_network:
                self._tell("no network; trying again")
            self.no_network = True
        if line.lower().startswith("error"):
            self.why = line

    def _tell_once(self, name: str) -> None:
        if name.lower() not in self._named:
            self._named.add(name.lower())
            self._tell(name)

    def _tell(self, words: str) -> None:
        self._quiet = 0
        self._say("        " + words)

    def _tick(self, done: Event) -> None:
        """Say how far it is whenever nothing was said for a while."""
        while not done.wait(SECOND):
            self._seconds, self._quiet = self._seconds + 1, self._quiet + 1
            if self._quiet >= QUIET_S:
                self._tell(self._how_far())

    def _how_far(self) -> str:
        if not self._placing:
            return f"it goes on: {self._seconds} s"
        return f"{min(self._in_place() - self._there, self._placing)} of {self._placing} in place: {self._seconds} s"

    def _in_place(self) -> int:
        """Count the packages whose last file is there: pip writes their RECORD at the end."""
        places = ("lib/python3*/site-packages", "Lib/site-packages")
        return len({path for place in places for path in self._library.glob(f"{place}/*.dist-info/RECORD")})
