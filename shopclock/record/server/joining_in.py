"""Joining a server: making the meeting place of a shop, going to it with a record or a copy, leaving it."""

from __future__ import annotations

from contextlib import closing, nullcontext
from typing import TYPE_CHECKING

from shopclock.record.file import opening
from shopclock.record.joining.presses import heard_of, insert
from shopclock.record.joining.rework import make_whole
from shopclock.record.press.record import Record
from shopclock.record.server.address import address_of, forget_address, goes_to_a_server, keep_address
from shopclock.record.server.exchange import Standing, Who, once
from shopclock.record.server.sentences import not_joined
from shopclock.record.server.server import Server
from shopclock.shop.setup.the_shop import free_bench_name, name_bench
from shopclock.shop.state.desk_copy import at_desk
from shopclock.shop.values.entities import Bench, Shop
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from contextlib import AbstractContextManager
    from pathlib import Path

    from shopclock.record.joining.presses import TravellingPress
    from shopclock.shop.values.clock import Clock

DESK = "{path} is a desk's copy. Nothing was changed. Bring it back, and join with the record."
OWN_PRESSES = (
    "{path} was pressed since it was copied, and the server has other presses in their place. Nothing was changed. "
    "Bring the newer copy, or begin without one."
)


def who(record: Record) -> Who:
    """Return which bench of which shop a record is."""
    bench = record.floor.get(Bench, record.bench.id)
    return Who(next(record.floor.all(Shop)).uuid, bench.id, bench.uuid, bench.name)


def give_to(record: Record, presses: list[TravellingPress]) -> bool:
    """Take presses into a record; says whether any came in."""
    before = record.level()
    record.take_presses(presses)
    return record.level() != before


def exchange(record: Record, where: str) -> Standing:
    """Exchange with the server one time."""
    return once(record.path, where, who(record), lambda presses: give_to(record, presses))


def init(record: Record, where: str) -> Standing:
    """Make the meeting place of a shop on a server that has none, and send all of the record there."""
    shop = next(record.floor.all(Shop))
    if at_desk(record.floor) is not None:
        raise ShopError(DESK.format(path=record.path))
    with _going_to(record.path), closing(Server(where)) as server:
        server.make(shop.uuid, shop.name)
    if not record.joined:
        record.join_others()
    keep_address(record.path, where)
    return exchange(record, where)


def join(path: Path, where: str, clock: Clock) -> Standing:
    """Go to the server with a copy of the record, or with what the server has where no record is at the path.

    The record goes on as a new bench, unless it is one already.
    """
    with _going_to(path), closing(Server(where)) as server:
        if server.shop() is None:
            raise ShopError("No shop meets at that server. Nothing was changed. `shopclock server init` makes it.")
        if opening.holds_nothing(path):
            opening.make(path, lambda part: _fill(part, server))
        else:
            _level(path, server, clock)
    with closing(Record.open(path, clock)) as record:
        keep_address(path, where)
        _be_told_apart(record)
        return exchange(record, where)


def _be_told_apart(record: Record) -> None:
    """Take another name where another bench has this one's: both went on from copies of one day."""
    floor, bench = record.floor, record.floor.get(Bench, record.bench.id)
    if any(other.name == bench.name for other in floor.all(Bench) if other.id != bench.id):
        name = free_bench_name(floor)
        record.press(f"Name: {name}", lambda tx: name_bench(tx, bench, name), undoable=False)


def leave(record: Record) -> bool:
    """Go to the server no more: what was pressed stays there and here. Says whether the server could be told."""
    try:
        with closing(Server(address_of(record.path) or "")) as server:
            server.refuse_other_shop(who(record).shop_uuid)
            server.left(record.bench.id)
    except ShopError:
        return False
    finally:
        forget_address(record.path)
    return True


def _going_to(path: Path) -> AbstractContextManager[None]:
    """Let errors say that a bench has not joined, where it goes to no other server meanwhile."""
    return nullcontext() if goes_to_a_server(path) else not_joined()


def _fill(part: Path, server: Server) -> None:
    """Make a record of all that the server has."""
    engine = opening.make_tables(part, draft=True)
    try:
        with engine.begin() as connection:
            while some := server.take(heard_of(connection), limit=2_000):
                if not insert(connection, some)[0]:
                    raise ShopError("The server lacks presses that others rest on. Nothing was made. Bring a copy.")
            make_whole(connection)
    finally:
        engine.dispose()


def _level(path: Path, server: Server, clock: Clock) -> None:
    """Have a copy take what it lacks, so that it knows that the shop has several benches."""
    with closing(Record.open(path, clock)) as record:
        server.refuse_other_shop(who(record).shop_uuid)
        if at_desk(record.floor) is not None:
            raise ShopError(DESK.format(path=path))
        there = server.known()
        for bench, last in record.level().items():
            common = min(last, there.get(bench, 0))
            if common and record.press_uuid(bench, common) != server.uuid_of(bench, common):
                raise ShopError(OWN_PRESSES.format(path=path))
            if last > there.get(bench, 0) and not record.joined:
                raise ShopError(OWN_PRESSES.format(path=path))
        while some := server.take(record.level()):
            if not give_to(record, some):
                break
