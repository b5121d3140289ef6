"""What a piece costs in its parts, by pattern and batch: reckoned by hand, beside its price."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from shopclock.analysis.money.pattern_costs import PARTS, BatchCost, Cost, costs_told
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.figures.untimed import say
from shopclock.shop.planning import orders
from shopclock.shop.setup import costs, rates
from shopclock.shop.values.entities import Batch, CostKind, CustomerOrder, Interval, OrderState, Per, Piece
from shopclock.shop.values.kinds import Outcome, StepState
from shopclock.shop.work import acts, batches, begin, pieces
from tests.record.on_disk import DiskShop

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[DiskShop]:
    """A batch of three that got 180 min at the saw and nothing else, before A was lost; of B and C, C is a second."""
    made = DiskShop(tmp_path, 3)
    made.press(lambda tx: begin.begin(tx, made.step("Saw")))
    made.clock.on(180)
    made.press(lambda tx: acts.go_on(tx, next(iter(made.floor.running.values()))))
    made.press(begin.stop)
    made.press(lambda tx: pieces.lose(tx, made.piece("A"), made.step("Saw"), "cracked"))
    made.press(lambda tx: rates.set_rate(tx, "hour", "30"))
    made.press(lambda tx: costs.add_cost(tx, "Steel", CostKind.MATERIAL, Per.PIECE, "12", pattern=made.pattern))
    made.press(lambda tx: costs.add_cost(tx, "Belts", CostKind.CONSUMABLE, Per.BATCH, "9"))
    made.press(lambda tx: pieces.make_second(tx, made.piece("C")))
    made.press(lambda tx: batches.close_with(tx, made.batches[0], {}, ""))
    made.press(lambda tx: say(tx, made.batches[0], StepState.SKIPPED))
    yield made
    made.close()


def told(shop: DiskShop) -> BatchCost:
    (pattern,) = costs_told(str(shop.path), shop.clock.now_us).patterns
    (batch,) = pattern.batches
    return batch


def parts(cost: Cost) -> dict[str, Decimal]:
    return {name: value for name, value in zip(PARTS, cost.parts, strict=True) if value}


def test_a_pieces_parts_are_its_own_and_what_it_carries(shop: DiskShop) -> None:
    """An hour at 30, steel at 12, half of the belts at 9; A's hour and steel are carried by two."""
    cost = told(shop).cost
    assert parts(cost) == {
        "labour": Decimal(30), "material": Decimal(12), "consumables": Decimal("4.5"), "carried": Decimal(21)
    }  # fmt: skip
    assert cost.total == Decimal("67.5")
    assert (cost.hours, cost.price, cost.hour) == (Decimal("1.5"), None, None)


def test_a_sale_has_its_fees_and_a_second_its_price(shop: DiskShop) -> None:
    """B at 100 and C at 60 are 80 each: 5 % of it and 2 make 6 of fees. An hour keeps (80 − 6 − 12 − 4.50 − 6)/1.5."""
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "100"))
    for name, typed in (("second_share", "60"), ("fee_share", "5"), ("fixed_fee", "2")):
        shop.press(lambda tx, name=name, typed=typed: rates.set_rate(tx, name, typed))
    cost = told(shop).cost
    assert (cost.price, parts(cost)["fees"]) == (Decimal(80), Decimal(6))
    assert cost.hour == (Decimal(80) - 6 - 12 - Decimal("4.5") - 6) / Decimal("1.5")


def test_a_pattern_is_told_at_what_is_asked_with_the_fees_of_that(shop: DiskShop) -> None:
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "100"))
    for name, typed in (("second_share", "60"), ("fee_share", "5"), ("fixed_fee", "2")):
        shop.press(lambda tx, name=name, typed=typed: rates.set_rate(tx, name, typed))
    (pattern,) = costs_told(str(shop.path), shop.clock.now_us).patterns
    assert (pattern.cost.price, parts(pattern.cost)["fees"]) == (Decimal(100), Decimal(7))
    assert (pattern.over, pattern.pieces) == (1, 2)


def test_pieces_of_orders_that_are_done_are_sold(shop: DiskShop) -> None:
    order: CustomerOrder = shop.press(lambda tx: orders.take_order(tx, "Brook", shop.pattern, 1))
    shop.press(lambda tx: orders.tie(tx, order, shop.piece("B")))
    assert told(shop).sold == 0
    shop.press(lambda tx: orders.end_order(tx, order, OrderState.DONE))
    assert told(shop).sold == 1


def test_parts_are_shown_so_that_they_add_up() -> None:
    cost = Cost((Decimal("1.004"), Decimal("1.004"), Decimal("1.004"), *[Decimal(0)] * 4), Decimal(1), Decimal(1), None)
    assert sum(cost.rounded("EUR")) == Decimal("3.01")


def test_a_demo_batch_costs_what_its_rows_in_the_database_come_to(copied_demo: Callable[..., Path]) -> None:
    """By hand from intervals, pieces, costs and rates: labour over finished pieces, material for each blank."""
    path = copied_demo()
    with ReadOnlyRecord.open(path) as reading:
        now_us, floor = reading.newest_us, reading.floor
        found = costs_told(str(path), now_us)
        batch = next(b for p in found.patterns for b in p.batches if b.finished < len(pieces_of(reading, b.batch_id)))
        floor = reading.load_batch(batch.batch_id)
        own, stood = rates.rates(floor), floor.get(Batch, batch.batch_id)
        all_pieces = pieces_of(reading, batch.batch_id)
        finished = {piece.id for piece in all_pieces if piece.outcome in (Outcome.FINISHED, Outcome.SECOND)}
        labour_us = sum(floor.labour.get(i.id, 0) for i in floor.of_batch(Interval, stood.id))
        materials = [
            Decimal(item.amount)
            for item in floor.all(costs.CostItem)
            if item.kind is CostKind.MATERIAL and item.pattern_id in (None, stood.pattern_id) and not item.put_away
        ]
    n = Decimal(len(finished))
    hours = Decimal(labour_us) / 3_600_000_000
    assert abs(batch.cost.hours - hours / n) < Decimal("1e-9")
    assert abs(batch.cost.labour - hours * own.hour / n) < Decimal("1e-9")
    assert parts(batch.cost)["material"] == sum(materials)
    assert batch.cost.hour == (batch.cost.price - batch.cost.total + batch.cost.labour) / batch.cost.hours


def pieces_of(reading: ReadOnlyRecord, batch_id: int) -> list[Piece]:
    return list(reading.load_batch(batch_id).pieces(batch_id))
