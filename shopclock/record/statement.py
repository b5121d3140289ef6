"""Statements made into SQL once: a press is small, and making its SQL anew would cost more than writing it."""

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any

import sqlalchemy as sa
from sqlalchemy.dialects import sqlite


class Statement:
    """One INSERT, UPDATE or DELETE, run for each of some rows; made into SQL when it is first run."""

    def __init__(self, clause: sa.Insert | sa.Update | sa.Delete, columns: Sequence[str] | None = None) -> None:
        self._clause = clause
        self._columns = columns

    @cached_property
    def _made(self) -> tuple[str, tuple[str, ...]]:
        made = self._clause.compile(dialect=sqlite.dialect(paramstyle="qmark"), column_keys=self._columns)
        return str(made), tuple(made.positiontup or ())

    def run(self, connection: sa.Connection, rows: Sequence[Mapping[str, Any]]) -> sa.CursorResult[Any]:
        """Run it; `rows` are its values by name, at least one."""
        names = self._made[1]
        return self.run_plain(connection, [tuple([row[name] for name in names]) for row in rows])

    def run_plain(self, connection: sa.Connection, rows: Sequence[tuple[Any, ...]]) -> sa.CursorResult[Any]:
        """Run it; `rows` are its values in the order of its columns, at least one."""
        return connection.exec_driver_sql(self._made[0], rows[0] if len(rows) == 1 else rows)
