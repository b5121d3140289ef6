"""Standing of a record with the server, line by line, from the record and the server alone."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

from shopclock.record.file.opening import open_reader
from shopclock.record.joining.presses import heard_of
from shopclock.record.server.server import Server
from shopclock.shop.setup.the_shop import FIRST_BENCH

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


def lines(path: Path, where: str) -> Iterator[str]:
    """Yield a line a bench, and what waits in either direction. ShopError: the server is not reached, and why."""
    engine = open_reader(path)
    try:
        with engine.begin() as connection:
            known = heard_of(connection)
            names: dict[int, str] = dict(map(tuple, connection.exec_driver_sql("SELECT id, name FROM bench")))
    finally:
        engine.dispose()
    with closing(Server(where)) as server:
        there = server.known()
        benches = server.benches()
        names |= {bench.bench_id: bench.name for bench in benches}
        for bench in benches:
            waits = f", {bench.waiting} to take" if bench.waiting else ""
            yield f"{bench.name or FIRST_BENCH}: heard {bench.heard.astimezone():%Y-%m-%d %H:%M:%S %Z}{waits}"
        for words, have, lack in (("to send", known, there), ("to take", there, known)):
            for number, last in sorted(have.items()):
                if (n := last - lack.get(number, 0)) > 0:
                    of = names.get(number, "another bench") or FIRST_BENCH
                    yield f"{n} {'press' if n == 1 else 'presses'} {words} of {of}."
        if known == there:
            yield "This record and the server have the same presses."
