"""Leftovers of version 1 where it was killed while old notes came in: removed before anything is read.

They came in slices, and the table `coming` said which numbers were not there yet. Nothing is written to it any more.
"""

import sqlalchemy as sa

from shopclock.record.file import write

OF_VERSION = 1
"""Records of this version have the table."""


def is_left(connection: sa.Connection) -> bool:
    """Tell whether there is anything that never came in whole."""
    return connection.exec_driver_sql("SELECT 1 FROM coming LIMIT 1").first() is not None


def remove(connection: sa.Connection) -> None:
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
