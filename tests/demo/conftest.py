"""The demo shop, written once and read whole."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from shopclock.demo.shop import DemoShop, demo_shop
from shopclock.demo.write import default_end_us
from shopclock.record.file.opening import open_reader
from shopclock.record.read.load import load_setup, load_since
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Batch, Interval, Method, Piece, Stage, Step


@dataclass(frozen=True)
class Written:
    """A demo on disk, with all that it holds on one floor."""

    path: Path
    floor: ShopFloor
    end_us: int

    def intervals(self, stage: str = "") -> list[Interval]:
        found = sorted(self.floor.all(Interval), key=lambda i: (i.start_us, i.id))
        return [i for i in found if not stage or self.floor.get(Stage, i.stage_id).name == stage]

    def closed(self) -> list[Batch]:
        return [batch for batch in self.floor.all(Batch) if batch.closed_us is not None]

    def lost(self) -> list[tuple[str, str]]:
        """Reason and step of each piece that was scrapped."""
        pieces = [p for p in self.floor.all(Piece) if p.outcome == "scrapped"]
        return [(p.reason, self.floor.get(Step, p.lost_step_id or 0).name) for p in pieces]

    def method(self, number: int | None) -> str:
        return self.floor.get(Method, number).name if number is not None else ""


def whole(path: Path) -> ShopFloor:
    """Everything of a record on one floor, as it lies on the disk."""
    engine = open_reader(path)
    try:
        with engine.begin() as connection:
            floor = load_setup(connection)
            load_since(connection, floor, -1)
            return floor
    finally:
        engine.dispose()


@pytest.fixture(scope="session")
def plan() -> DemoShop:
    return demo_shop()


@pytest.fixture(scope="session")
def demo(copied_demo: Callable[..., Path], plan: DemoShop) -> Iterator[Written]:
    path = copied_demo()
    yield Written(path, whole(path), default_end_us(plan))
    assert [file.name for file in path.parent.iterdir()] == [path.name]
