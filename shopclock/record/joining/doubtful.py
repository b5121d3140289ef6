"""Contradictions that no rule can settle well: what was pressed stays as it was, and the maker is asked to look."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.record.file.codec import KIND_NAMED, from_line
from shopclock.record.file.schema import VERSION
from shopclock.record.read.load import read
from shopclock.shop.values.entities import Interval, Piece, Tally

if TYPE_CHECKING:
    from collections.abc import Iterator

    import sqlalchemy as sa

_CORRECTED = "SELECT thing, pressed FROM corrected WHERE thing IN ('interval', 'tally') AND number > 0"
_COUNTS = "SELECT 1 FROM tally WHERE id = ?"


def doubtful(connection: sa.Connection, since_us: int) -> list[Interval | Tally]:
    """Return, as pressed since an instant, stretches that end before they start and marks of pieces lost before.

    Newest first. Each is what two benches said without knowing of each other: the stretch has no length, the mark
    doesn't count.
    """
    found = sorted(_doubtful(connection), key=lambda one: (_at_us(one), one.id), reverse=True)
    return [one for one in found if _at_us(one) >= since_us]


def _doubtful(connection: sa.Connection) -> Iterator[Interval | Tally]:
    for thing, line in connection.exec_driver_sql(_CORRECTED).all():
        pressed = from_line(KIND_NAMED[thing], line, VERSION)
        if isinstance(pressed, Interval) and pressed.end_us is not None and pressed.end_us < pressed.start_us:
            yield pressed
        elif isinstance(pressed, Tally) and connection.exec_driver_sql(_COUNTS, (pressed.id,)).first() is None:
            piece = next(iter(read(connection, Piece, "id = :id", id=pressed.piece_id)), None)
            if piece is not None and piece.lost:
                yield pressed


def _at_us(one: Interval | Tally) -> int:
    return one.start_us if isinstance(one, Interval) else one.at_us
