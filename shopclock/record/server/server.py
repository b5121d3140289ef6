"""Server of a shop: presses sent to it and taken from it, over one connection; each step may be done twice.

What goes wrong is a ServerAway with one sentence. The bench goes on whatever it says: nothing of a record waits for
the server.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import sqlalchemy as sa
from sqlalchemy.dialects.postgresql import insert

from shopclock.record.file.schema import VERSION
from shopclock.record.joining.presses import COLUMNS, Line, TravellingPress
from shopclock.record.server import tables
from shopclock.record.server.address import refuse_secret
from shopclock.record.server.sentences import ServerAway, away

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from datetime import datetime

CHANNEL = "shopclock_pressed"
OLDEST = 150_000
"""Version of PostgreSQL, as the server numbers it, that this is tried with; 14 and older are not."""
AT_ONCE = 100
"""Presses that are taken at once: at the bench no press waits for more of them."""
QUIET = timedelta(days=90)
"""A bench that has not come for so long is listed again when it comes."""
OPTIONS: dict[str, Any] = {
    "connect_timeout": 10, "keepalives_idle": 20, "keepalives_interval": 5, "keepalives_count": 3,
    "tcp_user_timeout": 30_000, "options": "-c statement_timeout=60000 -c lock_timeout=20000",
    "application_name": "shopclock",
}  # fmt: skip
"""A server that hangs is away."""


@dataclass(frozen=True, slots=True)
class BenchHeard:
    """Bench as the server knows it: when it was last heard of (UTC), and how many presses it had still to take."""

    bench_id: int
    name: str
    heard: datetime
    waiting: int


class Server:
    """An open connection to the server; `connection` is SQLAlchemy's, `close` it."""

    def __init__(self, where: str) -> None:
        refuse_secret(where)
        self._woken, self._pid = False, 0
        try:
            import psycopg
        except ImportError as error:
            raise ServerAway(
                "The driver for PostgreSQL is not installed. Nothing was changed. Install shopclock[server]."
            ) from error
        self._engine = sa.create_engine(
            "postgresql+psycopg://", poolclass=sa.StaticPool, creator=lambda: psycopg.connect(where, **OPTIONS)
        )

    @contextmanager
    def _begin(self) -> Iterator[sa.Connection]:
        with away(), self._engine.begin() as connection:
            yield connection

    def close(self) -> None:
        """Close the connection."""
        self._engine.dispose()

    def listen(self) -> Any:
        """Hear of what other benches press; returns the driver's connection, which can be waited for."""
        with self._begin() as connection:
            connection.exec_driver_sql(f"LISTEN {CHANNEL}")
            driver: Any = connection.connection.driver_connection
            driver.add_notify_handler(self._wake)
            self._pid = driver.info.backend_pid
            return driver

    def _wake(self, notify: Any) -> None:
        self._woken = self._woken or notify.pid != self._pid

    def was_woken(self) -> bool:
        """Tell whether another bench has pressed since this was asked last; heard also in the midst of other talk."""
        found, self._woken = self._woken, False
        return found

    def shop(self) -> str | None:
        """UUID of the shop that meets here; nothing where none does."""
        with self._begin() as connection:
            if connection.exec_driver_sql("SELECT to_regclass('shopclock.this_shop')").scalar_one() is None:
                return None
            return connection.execute(sa.select(tables.SHOP.c.uuid)).scalar_one_or_none()

    def make(self, uuid: str, name: str) -> None:
        """Make the meeting place of a shop. ServerAway: one meets here, it is too old, the rights don't reach."""
        if (there := self.shop()) is not None:
            whose = "this shop's" if there == uuid else "another shop's"
            raise ServerAway(f"The server is {whose} already. Nothing was changed. `shopclock server join` joins it.")
        with self._begin() as connection:
            version = int(connection.exec_driver_sql("SHOW server_version_num").scalar_one())
            if version < OLDEST:
                raise ServerAway(
                    f"The server is PostgreSQL {version // 10_000}, and {OLDEST // 10_000} or later is needed. "
                    "Nothing was changed."
                )
            tables.create(connection)
            connection.execute(tables.SHOP.insert(), {"uuid": uuid, "name": name})

    def refuse_other_shop(self, uuid: str) -> None:
        """ServerAway where it isn't this shop that meets here."""
        there = self.shop()
        if there is None:
            raise ServerAway("No shop meets at that server. Nothing was changed. `shopclock server init` makes it.")
        if there != uuid:
            raise ServerAway("Another shop meets at that server. Nothing was sent. Look at the address.")

    def known(self) -> dict[int, int]:
        """Return the last press of each bench that is here."""
        with self._begin() as connection:
            query = sa.select(tables.PRESS.c.bench_id, sa.func.max(tables.PRESS.c.sequence))
            return {row[0]: row[1] for row in connection.execute(query.group_by(tables.PRESS.c.bench_id))}

    def uuid_of(self, bench_id: int, sequence: int) -> str | None:
        """Return the UUID of a press that is here."""
        press = tables.PRESS.c
        with self._begin() as connection:
            query = sa.select(press.uuid).where(press.bench_id == bench_id, press.sequence == sequence)
            return connection.execute(query).scalar_one_or_none()

    def clock_us(self) -> int:
        """Return what the server's clock says, in microseconds UTC."""
        with self._begin() as connection:
            query = "SELECT extract(epoch FROM clock_timestamp()) * 1000000"
            return int(connection.exec_driver_sql(query).scalar_one())

    def send(self, presses: Sequence[TravellingPress]) -> None:
        """Send presses that follow what is here of their benches, in one transaction; what is here already stays."""
        if not presses:
            return
        with self._begin() as connection:
            for table, rows in _rows(presses).items():
                if rows:
                    put = insert(table).on_conflict_do_nothing()
                    connection.execute(put, rows)
            connection.exec_driver_sql(f"NOTIFY {CHANNEL}")

    def lacking(self, known: Mapping[int, int]) -> int:
        """Count the presses here that a bench lacks."""
        return sum(max(0, last - known.get(bench, 0)) for bench, last in self.known().items())

    def take(self, known: Mapping[int, int], limit: int = AT_ONCE) -> list[TravellingPress]:
        """Return the first presses by their places that a bench lacks which knows so many of each bench."""
        press = tables.PRESS
        with self._begin() as connection:
            have = sa.values(sa.column("bench_id", sa.BigInteger), sa.column("last", sa.BigInteger), name="have")
            rows = [(bench, known.get(bench, 0)) for bench in self._benches_with_presses(connection)]
            if not rows:
                return []
            have = have.data(rows)
            query = sa.select(press).join(
                have, sa.and_(press.c.bench_id == have.c.bench_id, press.c.sequence > have.c.last)
            )
            ordered = query.order_by(press.c.order_us, press.c.bench_id, press.c.sequence).limit(limit)
            found = [dict(row) for row in connection.execute(ordered).mappings()]
            return _whole(connection, found)

    @staticmethod
    def _benches_with_presses(connection: sa.Connection) -> list[int]:
        return list(connection.execute(sa.select(tables.PRESS.c.bench_id).distinct()).scalars())

    def here(self, bench_id: int, uuid: str, name: str, waiting: int) -> None:
        """Say that a bench was here. ServerAway: its number is another's."""
        row = {"bench_id": bench_id, "uuid": uuid, "name": name, "version": VERSION, "waiting": waiting}
        with self._begin() as connection:
            put = insert(tables.BENCHES).values(row)
            again = {**{n: row[n] for n in ("name", "version", "waiting")}, "heard": sa.func.clock_timestamp()}
            put = put.on_conflict_do_update(
                index_elements=["bench_id"], set_=again, where=tables.BENCHES.c.uuid == uuid
            )
            if connection.execute(put).rowcount == 0:
                raise ServerAway("Another bench has this one's number. Nothing was sent. Join again.")

    def left(self, bench_id: int) -> None:
        """Say that a bench doesn't come any more; what it pressed stays."""
        with self._begin() as connection:
            connection.execute(tables.BENCHES.delete().where(tables.BENCHES.c.bench_id == bench_id))

    def benches(self) -> list[BenchHeard]:
        """Return the benches of the shop by name, without those that have not come for a quarter."""
        heard = tables.BENCHES.c.heard > sa.func.now() - QUIET
        with self._begin() as connection:
            rows = connection.execute(sa.select(tables.BENCHES).where(heard).order_by(tables.BENCHES.c.name))
            return [BenchHeard(r.bench_id, r.name, r.heard, r.waiting) for r in rows]

    def stands(self) -> dict[int, int]:
        """Return the last press of each bench that the tables of things tell of."""
        with self._begin() as connection:
            return {row.bench_id: row.sequence for row in connection.execute(sa.select(tables.STANDS))}

    def publish(self, level: Mapping[int, int], things: Mapping[str, tuple[Sequence[str], Sequence[Any]]]) -> None:
        """Have the tables of things stand as a record has them that knows so many presses of each bench."""
        with self._begin() as connection:
            connection.exec_driver_sql("SELECT pg_advisory_xact_lock(hashtext('shopclock'))")
            names = ", ".join(str(table) for table in (*tables.things(), tables.STANDS))
            connection.exec_driver_sql(f"TRUNCATE {names}")
            cursor = connection.connection.cursor()
            for name, (columns, rows) in things.items():
                into = ", ".join(f'"{column}"' for column in columns)
                with cursor.copy(f'COPY {tables.SCHEMA}."{name}" ({into}) FROM STDIN') as copy:
                    for row in rows:
                        copy.write_row(row)
            if level:
                connection.execute(tables.STANDS.insert(), [{"bench_id": b, "sequence": s} for b, s in level.items()])


def _rows(presses: Sequence[TravellingPress]) -> dict[sa.Table, list[dict[str, Any]]]:
    found: dict[sa.Table, list[dict[str, Any]]] = {table: [] for table in tables.TRACE}
    for press in presses:
        name = dict(zip(("bench_id", "sequence"), press.name, strict=True))
        found[tables.PRESS].append(dict(press.row))
        found[tables.TAKEN_BACK] += [name | {"takes_bench": b, "takes_sequence": s} for b, s in press.takes]
        if press.move is not None:
            found[tables.CLOCK_MOVE].append(name | dict(zip(("from_us", "until_us", "by_us"), press.move, strict=True)))
        found[tables.JOURNAL] += [name | {"line": n} | line._asdict() for n, line in enumerate(press.lines)]
    return found


def _whole(connection: sa.Connection, rows: Sequence[Mapping[str, Any]]) -> list[TravellingPress]:
    """Return presses with their lines, what they take back and how they move."""
    names = [(row["bench_id"], row["sequence"]) for row in rows]
    takes: dict[tuple[int, int], list[tuple[int, int]]] = {name: [] for name in names}
    moves: dict[tuple[int, int], tuple[int, int | None, int]] = {}
    lines: dict[tuple[int, int], list[Line]] = {name: [] for name in names}
    if names:
        for row in connection.execute(_of(tables.TAKEN_BACK, names)):
            takes[row.bench_id, row.sequence].append((row.takes_bench, row.takes_sequence))
        for row in connection.execute(_of(tables.CLOCK_MOVE, names)):
            moves[row.bench_id, row.sequence] = (row.from_us, row.until_us, row.by_us)
        for row in connection.execute(_of(tables.JOURNAL, names).order_by(tables.JOURNAL.c.line)):
            lines[row.bench_id, row.sequence].append(Line(row.thing, row.number, row.before, row.after, row.version))
    return [
        TravellingPress(
            {column: row[column] for column in COLUMNS}, tuple(takes[name]), moves.get(name), tuple(lines[name])
        )
        for name, row in zip(names, rows, strict=True)
    ]


def _of(table: sa.Table, names: Sequence[tuple[int, int]]) -> sa.Select[Any]:
    these = sa.values(sa.column("b", sa.BigInteger), sa.column("s", sa.BigInteger), name="these").data(list(names))
    return sa.select(table).join(these, sa.and_(table.c.bench_id == these.c.b, table.c.sequence == these.c.s))
