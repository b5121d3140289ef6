"""Soundness of a record: the database, both sums, the derived rows, good sense, the journal."""

import tempfile
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from zoneinfo import ZoneInfo

import sqlalchemy as sa

from shopclock.record.check.rebuild import differences, rebuild
from shopclock.record.file.error_text import DOES_NOT_FIT, Unsound, error_text
from shopclock.record.file.opening import open_reader
from shopclock.record.joining.rework import several
from shopclock.record.read.recompute import running_labour
from shopclock.record.read.rows import IntervalRow, intervals
from shopclock.shop.values.kinds import Kind

NAMED = 5
"""So many examples stand in a sentence; the rest are counted."""


def check(path: Path) -> list[str]:
    """Return what is wrong with a record, a sentence each; nothing when it is sound.

    A file that can't be read as a record at all raises ShopError.
    """
    try:
        with error_text(path), open_reader(path).begin() as connection:
            damaged = list(_database(connection))
            if damaged:
                return damaged
            wrong = [*_shop(connection), *_benches(connection), *sense(connection), *_sums(connection)]
        return [*wrong, *_journal(path)]
    except Unsound as error:
        return [f"{error.wrong} Bring back a copy, keep this file."]
    except DOES_NOT_FIT as error:  # whatever else a value makes of the rules is damage too: they hold on sound records
        return [
            f"What it holds doesn't fit together ({type(error).__name__} {error}). Bring back a copy, keep this file."
        ]


def still_running(path: Path) -> list[IntervalRow]:
    """Return what has no end yet: for information, nothing is wrong with it."""
    engine = open_reader(path)
    with error_text(path), engine.begin() as connection:
        return list(intervals(connection, running=True))


def _database(connection: sa.Connection) -> Iterator[str]:
    found = connection.exec_driver_sql("PRAGMA integrity_check(5)").scalars().all()
    if list(found) != ["ok"]:
        yield f"The file is damaged: {'; '.join(found)}. Bring back a copy, keep this file."
    missing = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    if missing:
        yield _listed("Rows point at something that isn't there", [f"{row[0]} {row[1]} at {row[2]}" for row in missing])


def _shop(connection: sa.Connection) -> Iterator[str]:
    """Yield what the shop's own row lacks: without its zone no day of the record is any day."""
    zones = connection.exec_driver_sql("SELECT zone FROM shop").scalars().all()
    if len(zones) != 1:
        yield f"It is the record of {len(zones) or 'no'} shops. Bring back a copy, keep this file."
    for zone in zones:
        try:
            ZoneInfo(zone)
        except (ValueError, KeyError, OSError):
            yield f"The shop's time zone is {zone!r}, which is none. Bring back a copy, keep this file."


def _benches(connection: sa.Connection) -> Iterator[str]:
    """Yield whose presses have gaps, where several benches exchange them: a bench counts its own one by one."""
    if several(connection):
        query = "SELECT bench_id FROM press GROUP BY bench_id HAVING max(sequence) != count(*) ORDER BY bench_id"
        found = connection.exec_driver_sql(query).scalars().all()
        if found:
            yield _listed("Presses are missing", [f"of bench {number}" for number in found])


def sense(connection: sa.Connection) -> Iterator[str]:
    """Yield what can't have been, whatever was pressed."""
    for said, query in _SENSE.items():
        found = connection.exec_driver_sql(query).scalars().all()
        if found:
            yield _listed(said, [f"interval {number}" for number in found])
    overlapping = list(_hands_twice(connection))
    if overlapping:
        yield _listed("One maker works by hand at two things at once", overlapping)


_SENSE = {
    "An end lies before its start": "SELECT id FROM interval WHERE end_us < start_us ORDER BY id",
    "A stretch goes on as two": """
        SELECT continues_id FROM interval WHERE continues_id IS NOT NULL
        GROUP BY continues_id HAVING count(*) > 1""",
    "A stretch goes on before it ended": """
        SELECT later.id FROM interval AS later JOIN interval ON interval.id = later.continues_id
        WHERE interval.end_us IS NULL OR interval.end_us > later.start_us ORDER BY later.id""",
    "A step of a batch is worked without a piece": """
        SELECT id FROM interval WHERE step_id IS NOT NULL
        AND id NOT IN (SELECT interval_id FROM interval_piece) ORDER BY id""",
    "A piece is at two steps of one strand at once": """
        WITH worked AS (
            SELECT interval.id, piece_id, strand, start_us, coalesce(end_us, 9223372036854775807) AS end_us
            FROM interval JOIN interval_piece ON interval_id = interval.id JOIN step ON step.id = step_id
            WHERE end_us IS NULL OR end_us > start_us
        ), before AS (
            SELECT id, start_us, max(end_us) OVER (
                PARTITION BY piece_id, strand ORDER BY start_us, id
                ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING
            ) AS until_us FROM worked
        ) SELECT DISTINCT id FROM before WHERE until_us > start_us ORDER BY id""",
}
"""What may never be, each with the query that finds it. Touching is not overlapping."""


def _hands_twice(connection: sa.Connection) -> Iterator[str]:
    """Yield pairs of hands-on intervals of one maker that overlap, unless both share the hands."""
    running: dict[int, list[tuple[int, float, bool]]] = defaultdict(list)
    query = (
        "SELECT id, maker_id, start_us, end_us, together FROM interval WHERE kind = ?"
        " AND (end_us IS NULL OR end_us > start_us) ORDER BY start_us, id"
    )
    for number, maker, start, end, together in connection.exec_driver_sql(query, (str(Kind.HANDS_ON),)):
        running[maker] = [other for other in running[maker] if other[1] > start]
        for other, _, shared in running[maker]:
            if not (shared and together):
                yield f"intervals {other} and {number}"
        running[maker].append((number, float("inf") if end is None else end, bool(together)))


def _sums(connection: sa.Connection) -> Iterator[str]:
    """Compare both sums with what a plain walk along the day finds, without the rule for labour."""
    now = connection.exec_driver_sql("SELECT coalesce(max(at_us), 0) FROM press").scalar_one()
    worked = _labour(connection, now)
    for maker, union in _unions(connection, now).items():
        if worked.get(maker, 0) != union:
            yield f"Maker {maker}: the labour is {worked.get(maker, 0)} µs, the time worked {union} µs."
    off = connection.exec_driver_sql(
        "SELECT labour.interval_id FROM labour JOIN interval ON interval.id = labour.interval_id"
        " LEFT JOIN (SELECT interval_id, sum(us) AS us FROM share GROUP BY interval_id) AS given"
        " ON given.interval_id = labour.interval_id"
        " WHERE interval.step_id IS NOT NULL AND coalesce(given.us, 0) != labour.us ORDER BY 1"
    ).scalars()
    if numbers := off.all():
        yield _listed("The shares don't add up to the labour", [f"interval {number}" for number in numbers])


def _labour(connection: sa.Connection, now_us: int) -> dict[int, int]:
    """Return the labour of each maker: what is kept, and of what still runs what it got until now."""
    kept = "SELECT maker_id, us FROM labour JOIN interval ON interval.id = interval_id"
    found: dict[int, int] = defaultdict(int)
    for maker, us in (*connection.exec_driver_sql(kept), *running_labour(connection, now_us)):
        found[maker] += us
    return found


def _unions(connection: sa.Connection, now_us: int) -> dict[int, int]:
    """Return how long each maker worked or watched until now, counted once where stretches overlap."""
    until: dict[int, int] = {}
    found: dict[int, int] = defaultdict(int)
    query = (
        "SELECT maker_id, start_us, coalesce(end_us, ?) FROM interval"
        " WHERE kind IN ('hands-on', 'watch') ORDER BY start_us, id"
    )
    for maker, start, end in connection.exec_driver_sql(query, (now_us,)):
        found[maker] += max(0, end - max(start, until.get(maker, start)))
        until[maker] = max(end, until.get(maker, end))
    return found


def _journal(path: Path) -> Iterator[str]:
    """Build the record again from its journal, with all derived rows worked out anew; compare every row."""
    with tempfile.TemporaryDirectory(prefix="shopclock-") as folder:
        again = Path(folder) / "again"
        if wrong := rebuild(path, again):
            yield _listed("Two programs wrote, or lines are missing: what was there before differs", wrong)
        for name, rows in differences(path, again).items():
            if name in DERIVED:
                yield f"The {DERIVED[name]} are not what they are when worked out anew: {rows} rows."
            else:
                yield f"The journal gives other rows of {name} than the record has: {rows} rows."


DERIVED = {"labour": "minutes of intervals", "share": "minutes of pieces", "stage_row": "figures of closed batches"}


def _listed(said: str, found: list[str]) -> str:
    more = f" and {len(found) - NAMED} more" if len(found) > NAMED else ""
    return f"{said}: {', '.join(found[:NAMED])}{more}."
