"""Presses that came from a desk's copy, by the press that took them in: Undo takes them back with it."""

import sqlalchemy as sa

from shopclock.record.file.codec import from_line
from shopclock.record.file.fold import FOLDED, STANDS
from shopclock.record.file.schema import table_name
from shopclock.shop.values.entities import Checkout

_LINES = "SELECT before, after, version FROM journal WHERE press_id = ? AND thing = ?"
_BROUGHT = f"""SELECT press.id FROM press JOIN bench ON bench.id = bench_id
    WHERE bench.uuid = ? AND sequence > ? AND sequence <= ? AND {FOLDED} AND {STANDS} ORDER BY sequence"""  # noqa: S608  # ours


def desk_presses(connection: sa.Connection, press_id: int) -> tuple[int, ...]:
    """Return the standing presses of a desk that a press took in."""
    found: list[int] = []
    for before, after, version in connection.exec_driver_sql(_LINES, (press_id, table_name(Checkout))).all():
        was, now = from_line(Checkout, before, version), from_line(Checkout, after, version)
        if isinstance(was, Checkout) and isinstance(now, Checkout):
            brought = connection.exec_driver_sql(_BROUGHT, (now.uuid, was.joined, now.joined))
            found += brought.scalars()
    return tuple(found)
