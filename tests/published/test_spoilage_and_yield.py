"""What the lost pieces cost, and yield, against published.md, section 5."""

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
from tests.shop.workshop import Shop

MATERIALS, CONVERSION = 50_750 / 28_000, 39_916 / 25_060
"""Cost of one equivalent unit. Horngren, Datar & Rajan, Cost Accounting, Exercise 18-30, weighted average."""


def eleven_of_which_one_is_lost() -> BatchFigures:
    """20,500 good units and 2,050 normally spoiled ones are ten to one; a dollar is played as an hour."""
    shop = Shop(11)
    for name, each in (("Saw", MATERIALS), ("Bevel", CONVERSION)):
        step = shop.step(name)
        shop.press(lambda tx, step=step: begin.begin(tx, step))
        shop.clock.on(minutes=11 * 60 * each)
        shop.press(begin.stop)
        shop.press(lambda tx, step=step: finish.all_through(tx, step, [p.id for p in shop.floor.pieces(step.batch_id)]))
    shop.press(lambda tx: pieces.lose(tx, shop.piece("A"), shop.step("Bevel"), "cracked"))
    return figures(shop.floor, shop.batch.id, shop.clock.now_us)


def test_horngren_18_30_is_the_identity_of_carried_pieces() -> None:
    """Exercise 18-30: good units cost 69,809, normal spoilage 6,981, together 76,790: 3.7458490 for each good one.

    The normal units are our lost ones; the abnormal ones stand outside.
    """
    whole = eleven_of_which_one_is_lost().whole
    assert whole.per_finished_min is not None
    assert round(whole.per_finished_min / 60, 6) == round(3.7458490, 6)
    dollars = whole.of_finished.all_us / 3.6e9 * 2050, sum(whole.carried.values()) / 3.6e9 * 2050
    assert [round(d) for d in dollars] == [69_809, 6_981]
    assert round(sum(dollars)) == 76_790


def test_equivalent_units() -> None:
    assert (round(MATERIALS, 4), round(CONVERSION, 4)) == (1.8125, 1.5928)


def test_harry_rolled_throughput() -> None:
    """M. Harry (seen second hand): defects per unit .10 .05 .008 → .904837 .951229 .992032, product .853850."""
    shares = [math.exp(-dpu) for dpu in (0.10, 0.05, 0.008)]
    assert [round(share, 6) for share in shares] == [0.904837, 0.951229, 0.992032]
    rolled = all_through([0.904837, 0.951229, 0.992032])
    assert rolled == pytest.approx(0.853850, abs=1e-6)


@pytest.mark.parametrize(("setup", "run", "n", "minutes"), [(30, 14.6, 7, 132.2), (0, 10, 5, 50), (12, 0, 9, 12)])
def test_batch_time_is_setup_and_runs(setup: float, run: float, n: int, minutes: float) -> None:
    """Batch time = S + n · r (any text on operations)."""
    assert batch_minutes(setup, run, n) == pytest.approx(minutes)


def test_horngren_18_30_in_money() -> None:
    """The same exercise through the program's costs: material for each blank, conversion as labour at a rate of 1."""
    material, conversion = Decimal(50_750) / 28_000, Decimal(39_916) / 25_060
    begun, finished = 22_550, 20_500
    made = MadeBatch(begun, finished, conversion * 60 * begun, conversion * 60 * (begun - finished))
    steel = CostItem(
        id=1, uuid="", name="Steel", kind=CostKind.MATERIAL, per=Per.PIECE, pattern_id=None, stage_id=None,
        days=None,
        amount=str(material), currency="USD", tax="0", put_away=False,
    )  # fmt: skip
    cost = piece_cost(made, (steel,), Rates(hour=Decimal(1)), Overhead())
    assert round(cost.total, 7) == Decimal("3.7458490")
    assert [round(part * finished) for part in (cost.total - cost.carried, cost.carried)] == [69_809, 6_981]
