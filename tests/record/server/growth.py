"""What a shop of several benches costs, measured here and reckoned on: `python -m tests.record.server.growth`.

Rows and bytes of a press on the server and at a bench are those of the demo's two invented years; from them fifty
benches with 2,000 presses a day each are reckoned over ten years. Beside them: how long a new bench takes to come in,
and one that was away for 10,000 presses to be level with another.
"""

import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from shopclock.demo.write import write_demo
from shopclock.record.file import engine
from shopclock.record.press.record import Record
from shopclock.record.server import joining_in
from shopclock.record.server.address import address_of
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Stage
from shopclock.shop.work import begin
from tests.record.server.postgres import Postgres

BENCHES, A_DAY, DAYS = 50, 2_000, 10 * 250
"""Ten years of 250 working days."""
AWAY = 10_000


def main() -> None:
    """Print the table."""
    server, folder = Postgres(), Path(tempfile.mkdtemp(prefix="shopclock-"))
    try:
        _report(server, folder)
    finally:
        server.close()
        shutil.rmtree(folder)


def _report(server: Postgres, folder: Path) -> None:
    path, where = folder / "first.shopclock", server.new_database()
    write_demo(path, time.time_ns() // 1000 - 60_000_000)
    with _timed("sending the demo to an empty server"), closing(Record.open(path, SystemClock())) as record:
        joining_in.init(record, where)
    presses = server.sql("SELECT count(*) FROM shopclock.press", where)[0][0]
    lines = server.sql("SELECT count(*) FROM shopclock.journal", where)[0][0]
    query = "SELECT sum(pg_total_relation_size('shopclock.' || name)) FROM unnest(ARRAY['press', 'journal']) AS name"
    there = int(server.sql(query, where)[0][0])
    here = path.stat().st_size
    assert isinstance(presses, int)
    assert isinstance(lines, int)
    print(
        f"{presses} presses, {lines} lines: {there / presses:.0f} bytes a press there, {here / presses:.0f} at a bench"
    )
    in_all = BENCHES * A_DAY * DAYS
    print(
        f"{BENCHES} benches, {A_DAY} presses a day, {DAYS} days: {in_all / 1e6:.0f} million presses,"
        f" {in_all * lines / presses / 1e6:.0f} million lines, {in_all * there / presses / 1e9:.0f} GB there,"
        f" {in_all * here / presses / 1e9:.0f} GB at each bench, {BENCHES * A_DAY / 28_800:.1f} presses a second by day"
    )
    with _timed("a new bench without a copy"):
        joining_in.join(folder / "none.shopclock", where, SystemClock())
    copy = folder / "copy.shopclock"
    copy.touch()
    engine.copy(path, copy)
    with _timed("a new bench from a copy"):
        joining_in.join(copy, where, SystemClock())
    _away(path, copy, where)


def _away(path: Path, copy: Path, where: str) -> None:
    """A bench presses many times while it is away; then it and another come level."""
    with closing(Record.open(path, SystemClock())) as record:
        work = next(stage for stage in record.floor.all(Stage) if stage.shop_work)
        costs = []
        for n in range(AWAY):
            before = time.perf_counter()
            record.press("press", begin.stop if n % 2 else lambda tx: begin.begin_shop_work(tx, work))
            costs.append(time.perf_counter() - before)
        print(f"a press in a shop with a server: {1e3 * statistics.median(costs):.2f} ms at the median")
        with _timed(f"sending {AWAY} presses"):
            joining_in.exchange(record, where)
    with closing(Record.open(copy, SystemClock())) as record, _timed(f"taking {AWAY} presses"):
        joining_in.exchange(record, where)
    assert address_of(path) == where


@contextmanager
def _timed(what: str) -> Iterator[None]:
    before = time.perf_counter()
    yield
    print(f"{what}: {time.perf_counter() - before:.1f} s")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
