"""Orders, hours, days off and costs are kept, taken back and rebuilt like all else."""

from datetime import date
from pathlib import Path

from shopclock.record.check.check import check
from shopclock.record.check.rebuild import differences, rebuild
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.planning import orders
from shopclock.shop.setup import costs, week
from shopclock.shop.values.entities import (
    AskedPrice,
    CostItem,
    CostKind,
    CustomerOrder,
    DayOff,
    OrderPiece,
    Per,
    ShopHours,
)
from tests.record.on_disk import DiskShop

KINDS = (CustomerOrder, OrderPiece, ShopHours, DayOff, CostItem, AskedPrice)


def stands(shop: DiskShop) -> list[object]:
    return [thing for kind in KINDS for thing in shop.floor.all(kind)]


def plan(shop: DiskShop) -> None:
    order = shop.press(lambda tx: orders.take_order(tx, "Brook", shop.pattern, 2, date(2026, 12, 12)))
    shop.press(lambda tx: orders.tie(tx, order, shop.piece("A")))
    shop.press(lambda tx: week.add_hours(tx, 1, 1140, 1260))
    shop.press(lambda tx: week.add_day_off(tx, date(2026, 12, 24), date(2026, 12, 26), "feast"))
    shop.press(lambda tx: costs.add_cost(tx, "Rent", CostKind.OVERHEAD, Per.MONTH, "80.05", tax="20"))
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "240"))


def test_they_are_there_again_and_undo_takes_them_back(tmp_path: Path) -> None:
    shop = DiskShop(tmp_path, 3)
    plan(shop)
    stood = stands(shop)
    assert len(stood) == len(KINDS)
    shop.again()
    assert stands(shop) == stood
    assert check(shop.path) == []
    with ReadOnlyRecord.open(shop.path) as reading:
        assert [thing for kind in KINDS for thing in reading.floor.all(kind)] == stood
    rebuild(shop.path, tmp_path / "again")
    assert differences(shop.path, tmp_path / "again") == {}
    for _ in KINDS:
        shop.undo()
    assert stands(shop) == []
    shop.close()
