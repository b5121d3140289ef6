"""Boots of the machine, earlier ones and this, as presses and heartbeat tell of them."""

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

import sqlalchemy as sa

from shopclock.record.file.fold import PLACE, Placed, moved_since, moves_of
from shopclock.record.file.heartbeat import Heartbeat
from shopclock.record.file.schema import CLOCK_RIGHT, PRESS, TABLES, TAKEN_BACK
from shopclock.shop.recovery.questions import ASKED, guessing, last_answer_us
from shopclock.shop.recovery.timeline import Anchor, passed
from shopclock.shop.state.fold import Move, PressPlace
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.clock import Moment
from shopclock.shop.values.entities import Interval
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.ranges import FIRST_APART, PARTS, ROOM, own_range

TOO_EARLY = (
    "With that time, this evening would lie before what was recorded earlier. Nothing was changed. "
    "Look at the machine's clock and its date."
)


def newest_us(connection: sa.Connection) -> int:
    """Return the instant of the newest press; 0 in an empty record."""
    return connection.execute(_NEWEST.with_only_columns(PRESS.c.at_us)).scalar_one_or_none() or 0


def last_anchor(connection: sa.Connection, sign: Heartbeat | None, number_range: int | None = 0) -> Anchor | None:
    """Return the anchor of a bench's boot that was heard of last: by a press, or later by a sign of life."""
    newest = connection.execute(_NEWEST.where(_of_range(number_range))).one_or_none()
    if newest is None:
        return None
    if sign is not None and sign.at_us > newest.at_us:
        utc = newest.at_us - newest.boot_us if sign.boot_id == newest.boot_id else sign.at_us - sign.boot_us
        last = min(sign.at_us, utc + sign.boot_us) if sign.boot_id == newest.boot_id else sign.at_us
        return Anchor(sign.boot_id, utc, max(last, newest.at_us))
    return Anchor(newest.boot_id, newest.at_us - newest.boot_us, newest.at_us)


def last_heard_us(connection: sa.Connection, number_range: int | None = 0) -> int:
    """Return the last press of a bench's maker, in the time of its newest press; 0 where there is none."""
    by_hand = (
        _of_range(number_range),
        sa.or_(PRESS.c.undoable == 1, sa.exists().where(TAKEN_BACK.c.press_id == PRESS.c.id)),
    )
    query = sa.select(PRESS.c.id, PRESS.c.at_us, PRESS.c.boot_id).where(*by_hand).order_by(PRESS.c.id.desc()).limit(1)
    found = connection.execute(query).one_or_none()
    if found is None:
        return 0
    later = sa.and_(PRESS.c.id > found.id, PRESS.c.boot_id == found.boot_id)
    moved = connection.execute(sa.select(sa.func.coalesce(sa.func.sum(PRESS.c.moved_us), 0)).where(later)).scalar_one()
    return int(found.at_us + moved)


class Reach(NamedTuple):
    """Reach of a clock that is put right: from which instant on, before which (None: all), and how many intervals."""

    from_us: int
    until_us: int | None
    intervals: int


def reaches(
    connection: sa.Connection, floor: ShopFloor, boot_id: str, opened_us: int, now: tuple[Moment, int]
) -> tuple[Reach, Reach]:
    """Return what moves when the clock of a boot is put right: since it was known to be right, and all of the boot.

    It was known to be right at the last answer about it, when this program was opened, after the last sleep and after
    the last gap of four hours; in a boot that began with an empty battery never before an answer. `now` are moment and
    instant.
    """
    moment, now_us = now
    moves, here = moves_of(connection), moment.boot_id == boot_id
    begins_us, ends_us = span_us(connection, boot_id, now_us)
    since_us = max(begins_us, last_answer_us(floor, boot_id))
    if not guessing(floor, boot_id):
        newest = [_Entry(moment, now_us)] if here else []
        rows = connection.exec_driver_sql(_OF_BOOT, (boot_id,))
        entries = (_entry(row, boot_id, moves) for row in rows if row.what != ASKED)
        since_us = _woken_us([*newest], entries, max(since_us, opened_us) if here else since_us)
    until_us = None if here else ends_us
    own = floor.range
    return _reach(connection, since_us, until_us, own), _reach(connection, begins_us, until_us, own)


GAP_US = 4 * 3600 * 1_000_000
_OF_BOOT = f"""SELECT {PLACE}, what, at_us, wall_us, boot_us, awake_us, offset_min FROM press
    WHERE boot_id = ? ORDER BY press.id DESC"""  # noqa: S608  # the names are ours


class _Entry(NamedTuple):
    """Entry in the record: what the clocks said, and where it lies in the record's time."""

    moment: Moment
    at_us: int


def _entry(row: Any, boot_id: str, moves: Sequence[Placed]) -> _Entry:
    *place, _, at_us, wall_us, boot_us, awake_us, offset_min = row
    at_us = moved_since(PressPlace(*place), at_us, moves)
    return _Entry(Moment(wall_us, boot_us, awake_us, boot_id, offset_min), at_us)


def _woken_us(newest: Sequence[_Entry], entries: Iterable[_Entry], since_us: int) -> int:
    """Return the first entry after the last sleep or gap, newest first; the other instant where there is none since."""
    later = newest[0] if newest else None
    for entry in entries:
        if entry.at_us < since_us:
            break
        if later is not None and (
            passed(entry.moment, later.moment).slept_us or later.moment.boot_us - entry.moment.boot_us >= GAP_US
        ):
            return later.at_us
        later = entry
    return since_us


def _reach(connection: sa.Connection, from_us: int, until_us: int | None, number_range: int) -> Reach:
    columns, until = TABLES[Interval].c, 2**62 if until_us is None else until_us - 1
    moves = sa.or_(columns.start_us.between(from_us, until), columns.end_us.between(from_us, until))
    query = sa.select(sa.func.count()).select_from(TABLES[Interval]).where(moves, within(columns.id, number_range))
    return Reach(from_us, until_us, connection.execute(query).scalar_one())


def begins_us(connection: sa.Connection, boot_id: str, now_us: int) -> int:
    """Return the instant of the first press of a boot as it stands now, moves since included."""
    first = connection.exec_driver_sql(_FIRST_OF_BOOT, (boot_id,)).one_or_none()
    if first is None:
        return now_us
    *place, at_us = first
    earlier = connection.exec_driver_sql(_MOVED_IN_1, (CLOCK_RIGHT, boot_id)).scalar_one()
    return moved_since(PressPlace(*place), int(at_us + earlier), moves_of(connection))


_FIRST_OF_BOOT = f"SELECT {PLACE}, at_us FROM press WHERE boot_id = ? ORDER BY press.id LIMIT 1"  # noqa: S608  # ours
_MOVED_IN_1 = """SELECT coalesce(sum(moved_us), 0) FROM press WHERE what = ? AND undoable = 0 AND boot_id = ?"""
"""Version 1 moved a boot as a whole, and noted no more than by how much."""


def span_us(connection: sa.Connection, boot_id: str, now_us: int) -> tuple[int, int]:
    """Return the instant of a boot's first press as it stands now, and that of the next boot's."""
    last = sa.select(sa.func.max(PRESS.c.id)).where(PRESS.c.boot_id == boot_id).scalar_subquery()
    query = sa.select(PRESS.c.boot_id).where(PRESS.c.id > last).order_by(PRESS.c.id).limit(1)
    own = sa.select(PRESS.c.bench_id).where(PRESS.c.boot_id == boot_id).limit(1)
    number_range = own_range(connection.execute(own).scalar_one_or_none() or 0)
    following = connection.execute(query.where(_of_range(number_range))).scalar_one_or_none()
    ends_us = begins_us(connection, following, now_us) if following is not None else now_us
    return begins_us(connection, boot_id, now_us), ends_us


def check_room(connection: sa.Connection, boot_id: str, now_us: int, move: Move, number_range: int = 0) -> None:
    """Refuse a move that puts anything, or now, before what stays: work, or the last press of the boot before."""
    others = PRESS.c.boot_id != boot_id, _of_range(number_range)
    query = sa.select(PRESS.c.at_us).where(*others).order_by(PRESS.c.id.desc()).limit(1)
    last = connection.execute(query).scalar_one_or_none()
    ends = [last or 0, *(_last_before(connection, name, move.from_us, number_range) for name in ("start_us", "end_us"))]
    firsts = (_first_from(connection, name, move.from_us, number_range) for name in ("start_us", "end_us"))
    first_us = min([now_us, *(first for first in firsts if first is not None)])
    if first_us + move.by_us < max(ends):
        raise Refusal(TOO_EARLY)


def _first_from(connection: sa.Connection, name: str, at_us: int, number_range: int) -> int | None:
    """Return the first instant from another one on at which a stretch of a bench began, or ended."""
    columns = TABLES[Interval].c
    query = sa.select(sa.func.min(columns[name])).where(columns[name] >= at_us, within(columns.id, number_range))
    found = connection.execute(query).scalar_one()
    return None if found is None else int(found)


def _last_before(connection: sa.Connection, name: str, at_us: int, number_range: int) -> int:
    """Return the last instant before another one at which a stretch of a bench began, or ended: it stays."""
    columns = TABLES[Interval].c
    query = sa.select(sa.func.max(columns[name])).where(columns[name] < at_us, within(columns.id, number_range))
    return connection.execute(query).scalar_one() or 0


def within(number: sa.ColumnElement[int], number_range: int) -> sa.ColumnElement[bool]:
    """Return what is true of the numbers of a range, those of parts cut off included."""
    first, beyond = number_range * ROOM, (number_range + 1) * ROOM
    return sa.or_(number.between(first, beyond - 1), number.between(1 - beyond * PARTS, -first * PARTS))


def _of_range(number_range: int | None) -> sa.ColumnElement[bool]:
    """Return what is true of presses of benches that give numbers of a range; of any where none is said."""
    if number_range is None:
        return sa.true()
    if number_range == 0:
        return PRESS.c.bench_id < FIRST_APART
    first = number_range * ROOM
    return sa.or_(PRESS.c.bench_id == number_range, PRESS.c.bench_id.between(first, first + ROOM - 1))


_NEWEST = sa.select(PRESS.c.boot_id, PRESS.c.at_us, PRESS.c.boot_us).order_by(PRESS.c.id.desc()).limit(1)
