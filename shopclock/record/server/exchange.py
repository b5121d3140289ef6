"""Exchange of a bench with the server: it sends what the server lacks, takes what the bench lacks, and says how it is.

It reads the record and never writes it: what comes is given to whoever has the record open.
"""

from __future__ import annotations

from contextlib import closing
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any, NamedTuple

import sqlalchemy as sa

from shopclock.record.file.error_text import error_text
from shopclock.record.file.opening import open_reader
from shopclock.record.joining.presses import TravellingPress, heard_of, presses_of
from shopclock.record.server import tables
from shopclock.record.server.sentences import ServerAway, ServerGone
from shopclock.record.server.server import AT_ONCE, BenchHeard, Server
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

SENT_AT_ONCE = 300
LONG_AWAY, LONG_AWAY_AT_ONCE = 2_000, 500
"""A bench that was away for so many presses takes more of them at once."""
LIMIT_US = 120_000_000
"""A bench whose clock is further off the server's is told so: by so much the minutes of two benches can be wrong."""
OLDER = (
    "This record goes back to an older state, and was pressed since. Nothing was sent, all is kept here. "
    "Keep this file, and begin with another: `shopclock server join`."
)


class Who(NamedTuple):
    """Bench that exchanges: its shop, its number, its UUID, its name."""

    shop_uuid: str
    bench_id: int
    uuid: str
    name: str


@dataclass(frozen=True, slots=True)
class Standing:
    """Standing of a bench with the server: one sentence ("" when all is well), who is there, how many presses wait.

    The bench's own presses up to `sent` are there; `to_take` wait there. Where the server is away and it `passes` by
    itself, nobody has anything to do.
    """

    sentence: str = ""
    away: bool = False
    benches: tuple[BenchHeard, ...] = ()
    sent: int = 0
    to_take: int = 0
    passes: bool = False


class Exchange:
    """Exchange of one record. `give` takes presses into it, and says whether any came in; ShopError says why not."""

    def __init__(self, path: Path, where: str, who: Who, give: Callable[[list[TravellingPress]], bool]) -> None:
        self._path = path
        self._where = where
        self._who = who
        self._give = give
        self._server: Server | None = None
        self._engine: sa.Engine | None = None
        self._published = (0, 0)

    def open(self) -> Any:
        """Go to the server; returns what can be waited for until another bench presses. ServerAway says why not."""
        self.close()
        server = Server(self._where)
        try:
            server.refuse_other_shop(self._who.shop_uuid)
            heard = server.listen()
            self._refuse_older(server)
        except BaseException:
            server.close()
            raise
        self._server = server
        return heard

    def close(self) -> None:
        """Leave the server."""
        if self._server is not None:
            self._server.close()
            self._server = None
        if self._engine is not None:
            self._engine.dispose()
            self._engine = None

    @property
    def server(self) -> Server:
        """The open server."""
        if self._server is None:
            raise ServerGone("The server is not reached.")
        return self._server

    def known(self) -> dict[int, int]:
        """Return the last press of each bench in the record."""
        return dict(self._read(heard_of))

    def _read(self, query: Callable[[sa.Connection], Any]) -> Any:
        if self._engine is None:  # looked through once: to do so at each exchange would take longer than that does
            self._engine = open_reader(self._path)
        with error_text(self._path), self._engine.begin() as connection:
            return query(connection)

    def _refuse_older(self, server: Server) -> None:
        """ServerAway where this bench's presses here are others than those that the server has of it."""
        bench = self._who.bench_id
        last = min(self.known().get(bench, 0), server.known().get(bench, 0))
        query = sa.text("SELECT uuid FROM press WHERE bench_id = :bench AND sequence = :last")
        own = self._read(lambda c: c.execute(query, {"bench": bench, "last": last}).scalar_one_or_none())
        if own != server.uuid_of(bench, last):
            raise ServerAway(OLDER)

    def once(self) -> Standing:
        """Send and take until both have all; says how it stands. ServerAway: the server is gone."""
        server, who, sentence = self.server, self._who, ""
        server.here(who.bench_id, who.uuid, who.name, server.lacking(self.known()))
        self._send(server)
        try:
            self._take(server)
        except ServerAway:
            raise
        except ShopError as error:
            sentence = str(error)
        to_take = server.lacking(self.known())
        server.here(who.bench_id, who.uuid, who.name, to_take)
        sent = server.known().get(who.bench_id, 0)
        return Standing(sentence or self._clock(server), False, tuple(server.benches()), sent, to_take)

    def send_rest(self) -> None:
        """Send what was pressed last, where the server is reached. ShopError: it isn't all there."""
        if self._server is not None:
            self._send(self._server)

    def _send(self, server: Server) -> None:
        there = server.known()
        for bench, last in sorted(self.known().items()):
            while there.get(bench, 0) < last:
                after = there.get(bench, 0)
                some = list(self._read(partial(_presses, bench, after)))
                server.send(some)
                there[bench] = some[-1].name[1]

    def _take(self, server: Server) -> None:
        known = self.known()
        at_once = AT_ONCE if server.lacking(known) < LONG_AWAY else LONG_AWAY_AT_ONCE
        while some := server.take(self.known(), at_once):
            if not self._give(some):
                return

    @staticmethod
    def _clock(server: Server) -> str:
        off_us = SystemClock().moment().wall_us - server.clock_us()
        if abs(off_us) <= LIMIT_US:
            return ""
        minutes, which = round(abs(off_us) / 60e6), "ahead of" if off_us > 0 else "behind"
        return f"This bench's clock is {minutes} min {which} the server's. Look which is right."

    def standing_away(self, error: ShopError) -> Standing:
        """Return how it stands while the server is away; where it is the record, the window says so itself."""
        passes = isinstance(error, ServerGone) or not isinstance(error, ServerAway)
        return Standing(str(error), away=True, passes=passes)

    def publish(self) -> bool:
        """Have the server's tables of things stand as this record, where it is level; says whether it wrote them.

        It is done by whichever bench comes to it first, and not more often than takes a twentieth of the time.
        """
        server, now_us = self.server, SystemClock().moment().boot_us
        last_us, took_us = self._published
        if last_us and now_us - last_us < max(60_000_000, 20 * took_us):
            return False
        level = self.known()
        if level != server.known() or level == server.stands():
            return False
        self._read(lambda connection: server.publish(heard_of(connection), dict(_things(connection))))
        done_us = SystemClock().moment().boot_us
        self._published = (done_us, done_us - now_us)
        return True


def _presses(bench: int, after: int, connection: sa.Connection) -> list[TravellingPress]:
    return list(presses_of(connection, bench, after, SENT_AT_ONCE))


def _things(connection: sa.Connection) -> Any:
    """Yield the tables of things of a record, each with its columns and rows."""
    for table in tables.things():
        columns = [column.name for column in table.columns]
        rows = connection.exec_driver_sql(f'SELECT {", ".join(columns)} FROM "{table.name}"')  # noqa: S608  # ours
        yield table.name, (columns, rows)


def once(path: Path, where: str, who: Who, give: Callable[[list[TravellingPress]], bool]) -> Standing:
    """Exchange one time, for commands that have no window."""
    with closing(Exchange(path, where, who, give)) as exchange:
        exchange.open()
        standing = exchange.once()
        exchange.publish()
        return standing
