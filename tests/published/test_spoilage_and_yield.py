"""What the lost pieces cost, and yield, against shared/published/spoilage_and_yield.toml."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest

from shopclock.analysis.learning.first_time import all_through
from shopclock.analysis.learning.setup import batch_minutes
from shopclock.analysis.money.cost import MadeBatch, Overhead, piece_cost
from shopclock.shop.figures.batch_figures import BatchFigures, figures
from shopclock.shop.setup.rates import Rates
from shopclock.shop.values.entities import CostItem, CostKind, Per
from shopclock.shop.work import begin, finish, pieces
from tests.published.tables import tables
from tests.shop.workshop import Shop

PUBLISHED = tables("spoilage_and_yield")
EXERCISE = PUBLISHED["horngren_18_30"]
MATERIALS = Decimal(EXERCISE["materials"]) / EXERCISE["materials_units"]
CONVERSION = Decimal(EXERCISE["conversion"]) / EXERCISE["conversion_units"]
"""Cost of one equivalent unit."""
GOOD, SPOILED = EXERCISE["good"], EXERCISE["normal_spoilage"]
COSTS = [EXERCISE["good_cost"], EXERCISE["normal_spoilage_cost"]]


def eleven_of_which_one_is_lost() -> BatchFigures:
    """Good units and normally spoiled ones are ten to one; a dollar is played as an hour."""
    assert GOOD == 10 * SPOILED
    shop = Shop(11)
    for name, each in (("Saw", MATERIALS), ("Bevel", CONVERSION)):
        step = shop.step(name)
        shop.press(lambda tx, step=step: begin.begin(tx, step))
        shop.clock.on(minutes=11 * 60 * float(each))
        shop.press(begin.stop)
        shop.press(lambda tx, step=step: finish.all_through(tx, step, [p.id for p in shop.floor.pieces(step.batch_id)]))
    shop.press(lambda tx: pieces.lose(tx, shop.piece("A"), shop.step("Bevel"), "cracked"))
    return figures(shop.floor, shop.batch.id, shop.clock.now_us)


def test_horngren_18_30_is_the_identity_of_carried_pieces() -> None:
    """The normal units are our lost ones; the abnormal ones stand outside."""
    whole = eleven_of_which_one_is_lost().whole
    assert whole.per_finished_min is not None
    assert round(whole.per_finished_min / 60, 6) == round(float(EXERCISE["each_good"]), 6)
    dollars = whole.of_finished.all_us / 3.6e9 * SPOILED, sum(whole.carried.values()) / 3.6e9 * SPOILED
    assert [round(d) for d in dollars] == COSTS
    assert round(sum(dollars)) == EXERCISE["together"]


def test_equivalent_units() -> None:
    assert float(round(MATERIALS, 4)) == EXERCISE["materials_each"]
    assert float(round(CONVERSION, 4)) == EXERCISE["conversion_each"]


def test_harry_rolled_throughput() -> None:
    harry = PUBLISHED["harry"]
    assert [round(math.exp(-dpu), 6) for dpu in harry["defects_per_unit"]] == harry["yields"]
    assert all_through(harry["yields"]) == pytest.approx(harry["rolled"], abs=1e-6)


@pytest.mark.parametrize(("setup", "run", "n", "minutes"), [(30, 14.6, 7, 132.2), (0, 10, 5, 50), (12, 0, 9, 12)])
def test_batch_time_is_setup_and_runs(setup: float, run: float, n: int, minutes: float) -> None:
    """Batch time = S + n · r (any text on operations)."""
    assert batch_minutes(setup, run, n) == pytest.approx(minutes)


def test_horngren_18_30_in_money() -> None:
    """The same exercise through the program's costs: material for each blank, conversion as labour at a rate of 1."""
    begun = GOOD + SPOILED
    made = MadeBatch(begun, GOOD, CONVERSION * 60 * begun, CONVERSION * 60 * SPOILED)
    steel = CostItem(
        id=1, uuid="", name="Steel", kind=CostKind.MATERIAL, per=Per.PIECE, pattern_id=None, stage_id=None,
        days=None,
        amount=str(MATERIALS), currency="USD", tax="0", put_away=False,
    )  # fmt: skip
    cost = piece_cost(made, (steel,), Rates(hour=Decimal(1)), Overhead())
    assert round(cost.total, 7) == Decimal(EXERCISE["each_good"])
    assert [round(part * GOOD) for part in (cost.total - cost.carried, cost.carried)] == COSTS
