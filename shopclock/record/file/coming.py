"""Leftovers of version 1 where it was killed while old notes came in: removed before anything is read.

They came in slices, and the table `coming` said which numbers were not there yet. Version 2 has no such table.
"""

import sqlalchemy as sa

from shopclock.record.file import write

OF_VERSION = 1
"""Records of this version have the table."""


def remove_leftovers(engine: sa.Engine, version: int) -> None:
    """Remove what never came in whole to a record of a version, before it is brought to the next."""
    if version == OF_VERSION:
        with engine.begin() as connection:
            if connection.exec_driver_sql("SELECT 1 FROM coming LIMIT 1").first() is not None:
                _remove(connection)


def _remove(connection: sa.Connection) -> None:
    """Remove it; the numbers that were kept for it were never given."""
    found = {of: (first, last) for of, first, last in connection.exec_driver_sql("SELECT of, first, last FROM coming")}
    connection.exec_driver_sql("DELETE FROM journal WHERE press_id BETWEEN ? AND ?", found.pop("press"))
    write.remove(connection, found)
    newest = "SELECT coalesce(max(number), 0) FROM journal WHERE thing = :of"
    for of in found:
        connection.exec_driver_sql(f"UPDATE sqlite_sequence SET seq = ({newest}) WHERE name = :of", {"of": of})  # noqa: S608  # ours
    newest = "SELECT coalesce(max(id), 0) FROM journal"
    connection.exec_driver_sql(f"UPDATE sqlite_sequence SET seq = ({newest}) WHERE name = 'journal'")  # noqa: S608  # ours
    connection.exec_driver_sql("DELETE FROM sqlite_sequence WHERE seq = 0")
    connection.exec_driver_sql("DELETE FROM coming")
