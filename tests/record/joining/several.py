"""A small shop with several benches: a record each, of one shop, with a wire between them that can be cut anywhere."""

import random
import shutil
from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any, TypeVar

import sqlalchemy as sa

from shopclock.record.file.opening import open_reader
from shopclock.record.file.schema import STAGE_ROW, every_table
from shopclock.record.joining.presses import TravellingPress, heard_of, presses_of
from shopclock.record.press.record import Record
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Maker
from shopclock.shop.values.errors import Refusal
from tests.record.machine import MINUTE_US, Machine
from tests.record.on_disk import NAME, DiskShop
from tests.shop.histories import PRESSES

T = TypeVar("T")


class OneBench:
    """One bench of the shop: its record, its own clock, its maker."""

    def __init__(self, path: Path, clock: Machine, maker: int = 0) -> None:
        self.path, self.clock = path, clock
        self.record = Record.open(path, clock)
        makers = list(self.record.floor.all(Maker))
        self.record.maker = makers[maker % len(makers)]

    def press(self, rule: Callable[[Transaction], T], what: str = "press") -> T:
        result, _ = self.record.press(what, rule)
        return result

    def one(self, name: str, what: int, who: int) -> bool:
        """Press one of the random ones; False where it makes no sense here."""
        rule = PRESSES[name](self.record.floor, what, who)
        try:
            if rule is not None:
                self.press(rule, name)
        except Refusal:
            return False
        return rule is not None

    def undo(self) -> None:
        if self.record.next_undo is not None:
            try:
                self.record.undo()
            except Refusal:
                return

    def put_back(self) -> None:
        if self.record.next_put_back is not None:
            try:
                self.record.put_back()
            except Refusal:
                return

    def sent(self, known: dict[int, int], limit: int = 10_000) -> list[TravellingPress]:
        """What a bench or server lacks that has so many presses of each."""
        engine = open_reader(self.path)
        try:
            with engine.begin() as connection:
                benches = sorted(heard_of(connection))
                return [p for b in benches for p in presses_of(connection, b, known.get(b, 0), limit)]
        finally:
            engine.dispose()

    @property
    def known(self) -> dict[int, int]:
        engine = open_reader(self.path)
        try:
            with engine.begin() as connection:
                return heard_of(connection)
        finally:
            engine.dispose()

    def close(self) -> None:
        self.record.close()


class Shop:
    """The benches of one shop; `makers` of them have names."""

    def __init__(self, folder: Path, n: int, *sizes: int, makers: int = 2, skews: Sequence[int] = ()) -> None:
        first = DiskShop(folder, *sizes, clock=Machine())
        for name in ("Ona", "Brandt", "Ilse")[: makers - 1]:
            first.press(lambda tx, name=name: tx.add(Maker(name=name)))
        first.record.join_others()
        first.close()
        skews = [*skews, *([0] * n)]
        places = [first.path]
        for number in range(1, n):
            there = folder / f"bench {number}" / NAME
            there.parent.mkdir()
            shutil.copy(first.path, there)
            places.append(there)
        wall_us = first.clock.wall_us
        self.benches = [
            OneBench(place, Machine(wall_us + skews[i] * MINUTE_US, boot_id=f"boot {i}"), i)
            for i, place in enumerate(places)
        ]

    def on(self, us: int) -> None:
        for bench in self.benches:
            bench.clock.on(us=us)

    def level(self) -> None:
        """Have each bench take what it lacks until none lacks anything."""
        while True:
            before = [bench.known for bench in self.benches]
            for one in self.benches:
                for other in self.benches:
                    if one is not other:
                        one.record.take_presses(other.sent(one.known))
            if [bench.known for bench in self.benches] == before:
                return

    def close(self) -> None:
        for bench in self.benches:
            bench.close()

    def assert_equal(self) -> None:
        first = rows_of(self.benches[0].path)
        for bench in self.benches[1:]:
            rows = rows_of(bench.path)
            for table, found in first.items():
                assert rows[table] == found, table


def rows_of(path: Path) -> dict[str, list[tuple[Any, ...]]]:
    """All rows of a record, table by table, but numbers that say only when something came here."""
    engine = open_reader(path)
    name = "(SELECT bench_id || ' ' || sequence FROM press WHERE press.id = {})"
    try:
        with engine.begin() as connection:
            found = {}
            for table in every_table():
                columns = []
                for column in table.columns:
                    local = column.name == "id" and table.name in ("press", "journal", STAGE_ROW.name)
                    if column.name in ("press_id", "takes_id"):
                        columns.append(name.format(f"{table.name}.{column.name}"))
                    elif not local:
                        columns.append(f"{table.name}.{column.name}")
                query = f"SELECT {', '.join(columns)} FROM {table.name}"  # noqa: S608  # names of ours
                found[table.name] = sorted(map(tuple, connection.exec_driver_sql(query).all()), key=repr)
            return found
    finally:
        engine.dispose()


def story(
    folder: Path,
    seed: int,
    *,
    benches: int = 3,
    presses: int = 60,
    names: Sequence[str] | None = None,
    after: Callable[[int, OneBench], None] = lambda _number, _bench: None,
) -> Shop:
    """A random story of a shop: presses at each bench, exchanges cut anywhere, clocks off by minutes.

    `after` is called with the number of each press and a bench that it or an exchange changed.
    """
    rng = random.Random(seed)  # noqa: S311 - no secret
    random.seed(seed)
    shop = Shop(folder, benches, 4, 2, makers=3, skews=[rng.randint(-15, 15) for _ in range(benches)])
    known = sorted(names or PRESSES)
    for number in range(presses):
        shop.on(rng.choice([0, 1, rng.randint(0, 8 * MINUTE_US)]))
        bench = rng.choice(shop.benches)
        what = rng.random()
        if what < 0.12:
            bench.undo()
        elif what < 0.2:
            bench.put_back()
        else:
            bench.one(rng.choice(known), rng.randrange(64), rng.randrange(64))
        after(number, bench)
        if rng.random() < 0.2:
            one, other = rng.sample(shop.benches, 2)
            some = other.sent(one.known)
            cut = [p for p in some if rng.random() < 0.9]
            one.record.take_presses(cut if rng.random() < 0.5 else some)
            after(number, one)
    return shop


__all__ = ["OneBench", "Shop", "closing", "rows_of", "sa", "story"]
