"""Presses since a record was opened, as its journal has them, in memory: for the day the file is taken away."""

import sqlite3
from collections import deque
from typing import Any, NamedTuple

TRACE = (("press", "id"), ("taken_back", "press_id"), ("clock_move", "press_id"), ("journal", "press_id"))
"""Tables that hold what was pressed, each with the column that names the press."""
MOST_BYTES = 16_000_000
"""Beyond this the oldest go; a day at the bench has a hundredth of it."""


class Newest(NamedTuple):
    """Newest press of a record: its number and its UUID."""

    id: int
    uuid: str


NONE = Newest(0, "")


def newest_of(connection: sqlite3.Connection) -> Newest:
    """Return the newest press of a record; NONE where there is none yet."""
    found = connection.execute("SELECT id, uuid FROM press ORDER BY id DESC LIMIT 1").fetchone()
    return Newest(*found) if found is not None else NONE


class Lines(NamedTuple):
    """Rows of one press in one of the tables of TRACE."""

    table: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Any, ...], ...]


class Pressed(NamedTuple):
    """One press as the record has it: its rows, table by table."""

    newest: Newest
    lines: tuple[Lines, ...]

    @property
    def size(self) -> int:
        """Bytes of its texts, near enough."""
        values = (value for lines in self.lines for row in lines.rows for value in row)
        return sum(len(value) if isinstance(value, str) else 8 for value in values)


def presses_after(connection: sqlite3.Connection, last: Newest) -> list[Pressed]:
    """Return the presses that a record has after one, oldest first."""
    found = connection.execute("SELECT id, uuid FROM press WHERE id > ? ORDER BY id", (last.id,)).fetchall()
    return [Pressed(Newest(*one), tuple(_lines(connection, one[0]))) for one in found]


def _lines(connection: sqlite3.Connection, press_id: int) -> list[Lines]:
    found = []
    for table, column in TRACE:
        rows = connection.execute(f"SELECT * FROM {table} WHERE {column} = ?", (press_id,))  # noqa: S608  # names of ours
        found.append(Lines(table, tuple(one[0] for one in rows.description), tuple(rows.fetchall())))
    return found


class Session:
    """Presses since `after`, oldest first, each following the one before it.

    A press too large to be held, and all before it, is in no memory: then `after` is that one.
    """

    def __init__(self, after: Newest) -> None:
        self.after = after
        self.presses: deque[Pressed] = deque()
        self._bytes = 0

    @property
    def newest(self) -> Newest:
        """The newest press of all."""
        return self.presses[-1].newest if self.presses else self.after

    def add(self, pressed: Pressed) -> None:
        """Add the newest press."""
        self.presses.append(pressed)
        self._bytes += pressed.size
        while self._bytes > MOST_BYTES:
            gone = self.presses.popleft()
            self._bytes -= gone.size
            self.after = gone.newest
