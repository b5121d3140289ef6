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

TOO_EARLY = (
    "With that time, this evening would lie before what was recorded earlier. Nothing was changed. "
    "Look at the machine's clock and its date."
)


def newest_us(connection: sa.Connection) -> int:
    """Return the instant of the newest press; 0 in an empty record."""
    return connection.execute(_NEWEST.with_only_columns(PRESS.c.at_us)).scalar_one_or_none() or 0


def last_anchor(connection: sa.Connection, sign: Heartbeat | None) -> Anchor | None:
    """Return the anchor of the boot that was heard of last: by a press, or later by a sign of life."""
    newest = connection.execute(_NEWEST).one_or_none()
    if newest is None:
        return None
    if sign is not None and sign.at_us > newest.at_us:
        utc = newest.at_us - newest.boot_us if sign.boot_id == newest.boot_id else sign.at_us - sign.boot_us
        last = min(sign.at_us, utc + sign.boot_us) if sign.boot_id == newest.boot_id else sign.at_us
        return Anchor(sign.boot_id, utc, max(last, newest.at_us))
    return Anchor(newest.boot_id, newest.at_us - newest.boot_us, newest.at_us)


def last_heard_us(connection: sa.Connection) -> int:
    """Return the maker's last press, in the time of the newest press; 0 where there is none."""
    by_hand = sa.or_(PRESS.c.undoable == 1, sa.exists().where(TAKEN_BACK.c.press_id == PRESS.c.id))
    query = sa.select(PRESS.c.id, PRESS.c.at_us, PRESS.c.boot_id).where(by_hand).order_by(PRESS.c.id.desc()).limit(1)
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
    return _reach(connection, since_us, until_us), _reach(connection, begins_us, until_us)


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


def _reach(connection: sa.Connection, from_us: int, until_us: int | None) -> Reach:
    query = "SELECT count(*) FROM interval WHERE start_us BETWEEN :from AND :until OR end_us BETWEEN :from AND :until"
    until = 2**62 if until_us is None else until_us - 1
    return Reach(from_us, until_us, connection.exec_driver_sql(query, {"from": from_us, "until": until}).scalar_one())


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
    following = connection.execute(query).scalar_one_or_none()
    ends_us = begins_us(connection, following, now_us) if following is not None else now_us
    return begins_us(connection, boot_id, now_us), ends_us


def check_room(connection: sa.Connection, boot_id: str, now_us: int, move: Move) -> None:
    """Refuse a move that puts anything, or now, before what stays: work, or the last press of the boot before."""
    last = connection.execute(
        sa.select(PRESS.c.at_us).where(PRESS.c.boot_id != boot_id).order_by(PRESS.c.id.desc()).limit(1)
    ).scalar_one_or_none()
    ends = [last or 0, *(_last_before(connection, name, move.from_us) for name in ("start_us", "end_us"))]
    first_us = min([now_us, *(_first_from(connection, name, move.from_us, now_us) for name in ("start_us", "end_us"))])
    if first_us + move.by_us < max(ends):
        raise Refusal(TOO_EARLY)


def _first_from(connection: sa.Connection, name: str, at_us: int, now_us: int) -> int:
    """Return the first instant from another one on at which a stretch began, or ended; now where there is none."""
    column = TABLES[Interval].c[name]
    found = connection.execute(sa.select(sa.func.min(column)).where(column >= at_us)).scalar_one()
    return now_us if found is None else int(found)


def _last_before(connection: sa.Connection, name: str, at_us: int) -> int:
    """Return the last instant before another one at which a stretch began, or ended: it doesn't move along."""
    column = TABLES[Interval].c[name]
    return connection.execute(sa.select(sa.func.max(column)).where(column < at_us)).scalar_one() or 0


_NEWEST = sa.select(PRESS.c.boot_id, PRESS.c.at_us, PRESS.c.boot_us).order_by(PRESS.c.id.desc()).limit(1)
