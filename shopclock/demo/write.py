"""Writing the demo shop to a file: made beside it, put in its place when it is whole."""

import os
from dataclasses import replace
from functools import partial
from pathlib import Path
from zoneinfo import ZoneInfo

from shopclock.demo import office
from shopclock.demo.bench import DemoBench
from shopclock.demo.clock import HOUR_US, DemoClock
from shopclock.demo.evenings import evenings, local_us
from shopclock.demo.maker import DemoMaker
from shopclock.demo.pace import Paces
from shopclock.demo.shop import DemoShop, demo_shop
from shopclock.record.press.record import Record
from shopclock.shop.setup.patterns import copy_route
from shopclock.shop.state.demo_mark import mark_demo
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.state.wording import shop_time
from shopclock.shop.values.entities import Bench, Pattern, Shop
from shopclock.shop.values.entities import Maker as Person
from shopclock.shop.values.errors import ShopError


def write_demo(path: Path, end_us: int | None = None, seed: int | None = None) -> None:
    """Write the demo shop as it stands at an end: two years up to it, the same for the same seed.

    Without an end it is a fixed evening. Raises ShopError where a file is there already, or where
    none can be made; then nothing is left behind.
    """
    if path.exists():
        raise ShopError(f"There is a file {path} already. Nothing was written; name another.")
    shop = demo_shop()
    end = end_us if end_us is not None else default_end_us(shop)
    beside = path.with_name(f"{path.name}.unfinished")
    beside.unlink(missing_ok=True)
    try:
        play(beside, shop, end, seed if seed is not None else shop.seed)
        _on_disk(beside)
        beside.rename(path)
    finally:
        _clear(beside)


def default_end_us(shop: DemoShop) -> int:
    """Return the evening that the pictures show, in microseconds UTC."""
    return local_us(shop.end.date(), shop.end.time(), ZoneInfo(shop.zone))


def _on_disk(path: Path) -> None:
    """Wait until the disk has a file whole: presses to a draft don't."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def _clear(beside: Path) -> None:
    """Leave nothing of a file that didn't get whole."""
    for tail in ("", "-wal", "-shm"):
        beside.with_name(beside.name + tail).unlink(missing_ok=True)


def play(path: Path, shop: DemoShop, end_us: int, seed: int) -> None:
    """Play the evenings up to an end into a new record."""
    ahead = list(evenings(shop, end_us, seed))
    clock = DemoClock(ZoneInfo(shop.zone), ahead[0].start_us - HOUR_US)
    record = Record.open(path, clock, make=True, zone=shop.zone, draft=True)
    try:
        bench = DemoBench(record, clock, shop, Paces(shop, seed))
        patterns = _furnish(bench)
        office.furnish(bench, patterns, shop_time(end_us, ZoneInfo(shop.zone)).date())
        maker = DemoMaker(bench, patterns, seed)
        for evening in ahead:
            if evening is ahead[-1]:
                office.take_orders(bench, patterns)
            maker.evening(evening)
    finally:
        record.close()


def _furnish(bench: DemoBench) -> dict[str, Pattern]:
    """Name the shop and copy its routes; return its patterns."""
    bench.press("Names", lambda tx: _name(tx, bench.shop))
    return {
        key: bench.press(f"Copy {route.name}", partial(copy_route, route=route, name=route.name))
        for key, route in bench.shop.routes.items()
    }


def _name(tx: Transaction, shop: DemoShop) -> None:
    mark_demo(tx)
    tx.change(replace(next(tx.floor.all(Shop)), name=shop.name))
    tx.change(replace(next(tx.floor.all(Person)), name=shop.maker))
    tx.change(replace(next(tx.floor.all(Bench)), name=shop.bench))
