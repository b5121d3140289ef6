"""A PostgreSQL of the tests' own: in a folder of its own, on a socket, as a user without rights."""

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
from itertools import count
from pathlib import Path

PLACES = sorted(Path("/usr/lib/postgresql").glob("*/bin/postgres"), key=lambda p: int(p.parts[-3]))
"""Where Debian's package `postgresql` puts it; it is on no search path."""
NOBODY = "nobody"
SET = ("fsync=off", "listen_addresses=", "max_connections=80", "shared_buffers=32MB", "log_min_messages=fatal")


class Postgres:
    """A server that can be stopped, killed and started again; each test has a database of its own."""

    def __init__(self) -> None:
        self.bin = PLACES[-1].parent
        self.folder = Path(tempfile.mkdtemp(prefix="shopclock-pg-", dir="/tmp"))  # a socket's path is short
        self._numbers = count(1)
        self._process: subprocess.Popen[bytes] | None = None
        if os.geteuid() == 0:
            found = pwd.getpwnam(NOBODY)
            os.chown(self.folder, found.pw_uid, found.pw_gid)
        self._run("initdb", "-D", str(self.data), "-U", "shop", "-A", "trust", "-E", "UTF8", "--locale=C", "-N")
        self.start()

    @property
    def data(self) -> Path:
        return self.folder / "data"

    def _as_nobody(self, program: str, *arguments: str) -> list[str]:
        command = [str(self.bin / program), *arguments]
        return ["runuser", "-u", NOBODY, "--", *command] if os.geteuid() == 0 else command

    def _run(self, program: str, *arguments: str) -> None:
        subprocess.run(self._as_nobody(program, *arguments), check=True, capture_output=True, cwd="/")

    def start(self) -> None:
        """Start it, and wait until it answers."""
        options = [word for one in SET for word in ("-c", one)]
        command = self._as_nobody("postgres", "-D", str(self.data), "-k", str(self.folder), *options)
        self._process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd="/")
        self._run("pg_isready", "-h", str(self.folder), "-t", "30", "-q") if self._answers() else None

    def _answers(self) -> bool:
        import time

        for _ in range(600):
            done = subprocess.run([str(self.bin / "pg_isready"), "-h", str(self.folder), "-q"], check=False)
            if done.returncode == 0:
                return True
            time.sleep(0.05)
        raise TimeoutError(self.folder)

    @property
    def pid(self) -> int:
        return int((self.data / "postmaster.pid").read_text(encoding="utf-8").split()[0])

    def kill(self) -> None:
        """End it as a power cut does, with all that it had in hand."""
        self._end(signal.SIGQUIT)

    def stop(self) -> None:
        """Shut it down; who is connected is sent away."""
        self._end(signal.SIGINT)

    def _end(self, how: signal.Signals) -> None:
        if self._process is not None:
            os.kill(self.pid, how)
            self._process.wait(60)
            self._process = None

    def pause(self) -> None:
        """Let it hang: it holds its connections and answers nothing."""
        for pid in self._pids():
            os.kill(pid, signal.SIGSTOP)

    def go_on(self) -> None:
        """Let it answer again; what started it as another user has stopped itself with it."""
        for pid in [self._process.pid if self._process is not None else self.pid, *self._pids()]:
            os.kill(pid, signal.SIGCONT)

    def _pids(self) -> list[int]:
        found = subprocess.run(["pgrep", "-P", str(self.pid)], capture_output=True, text=True, check=False)
        return [self.pid, *map(int, found.stdout.split())]

    def new_database(self) -> str:
        """Make a database; returns what names it to libpq."""
        name = f"shop{next(self._numbers)}"
        self.sql(f"CREATE DATABASE {name}")
        return self.where(name)

    def where(self, name: str, user: str = "shop") -> str:
        return f"host={self.folder} dbname={name} user={user}"

    def sql(self, statement: str, where: str | None = None) -> list[tuple[object, ...]]:
        """Run a statement as the one who may do all."""
        import psycopg

        with psycopg.connect(where or self.where("postgres"), autocommit=True) as connection:
            done = connection.execute(statement)
            return done.fetchall() if done.description else []

    def close(self) -> None:
        self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)
