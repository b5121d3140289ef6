"""The numbers and UUIDs that new things get."""

import uuid

import sqlalchemy as sa

from shopclock.record.schema import table_name
from shopclock.shop.values import THINGS, Thing


class Numbers:
    """Numbers on from the highest that each table ever gave."""

    def __init__(self, connection: sa.Connection) -> None:
        rows = connection.exec_driver_sql("SELECT name, seq FROM sqlite_sequence")
        used: dict[str, int] = dict(rows.all())
        self._last = {kind: int(used.get(table_name(kind), 0)) for kind in THINGS}

    def next(self, kind: type[Thing]) -> int:
        """Return a number that this kind of thing has never had."""
        self._last[kind] += 1
        return self._last[kind]

    def uuid(self) -> str:
        """Return a new UUID."""
        return str(uuid.uuid4())
