"""Boots of the machine, earlier ones and this, as presses and heartbeat tell of them."""

import sqlalchemy as sa

from shopclock.record.file.heartbeat import Heartbeat
from shopclock.record.file.schema import PRESS, TABLES, TAKEN_BACK
from shopclock.shop.recovery.timeline import Anchor
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


def begins_us(connection: sa.Connection, boot_id: str, now_us: int) -> int:
    """Return the instant of the first press of a boot as it stands now, moves since included."""
    first = connection.execute(
        sa.select(PRESS.c.at_us).where(PRESS.c.boot_id == boot_id).order_by(PRESS.c.id).limit(1)
    ).scalar_one_or_none()
    if first is None:
        return now_us
    moves = sa.select(sa.func.coalesce(sa.func.sum(PRESS.c.moved_us), 0)).where(PRESS.c.boot_id == boot_id)
    return int(first + connection.execute(moves).scalar_one())


def span_us(connection: sa.Connection, boot_id: str, now_us: int) -> tuple[int, int]:
    """Return the instant of a boot's first press as it stands now, and that of the next boot's."""
    last = sa.select(sa.func.max(PRESS.c.id)).where(PRESS.c.boot_id == boot_id).scalar_subquery()
    query = sa.select(PRESS.c.boot_id).where(PRESS.c.id > last).order_by(PRESS.c.id).limit(1)
    following = connection.execute(query).scalar_one_or_none()
    ends_us = begins_us(connection, following, now_us) if following is not None else now_us
    return begins_us(connection, boot_id, now_us), ends_us


def check_room(connection: sa.Connection, boot_id: str, begins: int, by_us: int) -> None:
    """Refuse to move a boot's beginning before the last press of the boot before it, or what was amended to then."""
    last = connection.execute(
        sa.select(PRESS.c.at_us).where(PRESS.c.boot_id != boot_id).order_by(PRESS.c.id.desc()).limit(1)
    ).scalar_one_or_none()
    ends = [last or 0, *(_last_before(connection, name, begins) for name in ("start_us", "end_us"))]
    if begins + by_us < max(ends):
        raise Refusal(TOO_EARLY)


def _last_before(connection: sa.Connection, name: str, at_us: int) -> int:
    """Return the last instant before another one at which a stretch began, or ended: it doesn't move along."""
    column = TABLES[Interval].c[name]
    return connection.execute(sa.select(sa.func.max(column)).where(column < at_us)).scalar_one() or 0


_NEWEST = sa.select(PRESS.c.boot_id, PRESS.c.at_us, PRESS.c.boot_us).order_by(PRESS.c.id.desc()).limit(1)
