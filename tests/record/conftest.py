"""No test of the record leaves a file open, whatever it was about."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import sqlalchemy as sa

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Iterator


@pytest.fixture(autouse=True)
def left_open() -> Iterator[None]:
    """Close what a test connected to: a connection that is collected while it is open is a warning from 3.13 on."""
    opened: list[sqlite3.Connection] = []

    def note(connection: sqlite3.Connection, _: object) -> None:
        opened.append(connection)

    sa.event.listen(sa.Pool, "connect", note)
    yield
    sa.event.remove(sa.Pool, "connect", note)
    for connection in opened:
        connection.close()
