"""The small shop of the rules' tests, on a disk: the same presses through a record."""

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from shopclock.record.press.record import Record
from shopclock.shop.setup import patterns
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Batch, Pattern, Piece, Step
from shopclock.shop.work import batches
from tests.record.machine import Machine
from tests.shop.workshop import ROUTE, ToyClock

T = TypeVar("T")
NAME = "shop.shopclock"


class DiskShop:
    """A record with one pattern; batches by `new_batch`. `again` opens the file anew."""

    def __init__(self, folder: Path, *sizes: int, clock: ToyClock | Machine | None = None) -> None:
        self.path, self.clock = folder / NAME, clock if clock is not None else ToyClock()
        self.record = Record.open(self.path, self.clock, make=True, zone="Europe/Vienna")
        self.pattern: Pattern = self.press(lambda tx: patterns.copy_route(tx, ROUTE, "Spreader"))
        self.batches = [self.new_batch(n) for n in sizes]
        self.pressed = len(sizes) + 1

    @property
    def floor(self) -> ShopFloor:
        return self.record.floor

    def press(self, rule: Callable[[Transaction], T]) -> T:
        result, _ = self.record.press("press", rule, undoable=True)
        self.pressed = getattr(self, "pressed", 0) + 1
        return result

    def undo(self) -> None:
        self.record.undo()
        self.pressed -= 1

    def again(self) -> None:
        self.record.close()
        self.record = Record.open(self.path, self.clock)

    def close(self) -> None:
        self.record.close()

    def new_batch(self, n: int) -> Batch:
        name = batches.batch_name(self.floor, self.clock.now_us)
        return self.press(lambda tx: batches.start_batch(tx, self.pattern, n, name))

    def step(self, name: str, batch: Batch | None = None) -> Step:
        return next(s for s in self.floor.steps((batch or self.batches[0]).id) if s.name == name)

    def piece(self, mark: str, batch: Batch | None = None) -> Piece:
        return next(p for p in self.floor.pieces((batch or self.batches[0]).id) if p.mark == mark)
