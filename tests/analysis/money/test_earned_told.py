"""What batches earned, in a line on Review and as bars under Plan."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

import numpy as np
import pytest

from shopclock.analysis.forecast.forecast import forecast
from shopclock.analysis.forecast.stage_forecast import ShopEstimates
from shopclock.analysis.money.cost import Overhead
from shopclock.analysis.money.earnings import all_earned, batch_earned, earned, earned_text, hour_range, hours_before
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.figures.untimed import say
from shopclock.shop.setup import costs, rates
from shopclock.shop.values.entities import CostItem, CostKind, Per
from shopclock.shop.values.kinds import Outcome, StepState
from shopclock.shop.values.money import Manner
from shopclock.shop.work import acts, batches, begin, finish, pieces
from tests.analysis.forecasts import history, job
from tests.record.on_disk import DiskShop

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[DiskShop]:
    """A batch of three that got 180 min, before A was lost."""
    made = DiskShop(tmp_path, 3)
    made.press(lambda tx: begin.begin(tx, made.step("Saw")))
    made.clock.on(180)
    made.press(lambda tx: acts.go_on(tx, next(iter(made.floor.running.values()))))
    made.press(begin.stop)
    made.press(lambda tx: pieces.lose(tx, made.piece("A"), made.step("Saw"), "cracked"))
    yield made
    made.close()


def said(shop: DiskShop) -> str:
    return batch_earned(str(shop.path), shop.batches[0].id, shop.clock.now_us, Manner()).replace("\u00a0", " ")


def through_all(shop: DiskShop, *marks: str) -> None:
    """Take pieces through all steps; those that nobody timed were skipped."""
    for step in shop.floor.steps(shop.batches[0].id):
        shop.press(lambda tx, step=step: finish.all_through(tx, step, [shop.piece(mark).id for mark in marks]))
    shop.press(lambda tx: say(tx, shop.batches[0], StepState.SKIPPED))


def test_without_a_price_a_cost_or_a_rate_nothing_is_said(shop: DiskShop) -> None:
    assert said(shop) == ""


def test_the_hour_and_the_lost_piece_in_money(shop: DiskShop) -> None:
    """Three hours for two pieces at 90: each blank costs 12, so 90 − 12 − 6 for an hour and a half.

    The lost piece took an hour at 30 and a blank.
    """
    shop.press(lambda tx: costs.add_cost(tx, "Steel", CostKind.MATERIAL, Per.PIECE, "12", pattern=shop.pattern))
    shop.press(lambda tx: rates.set_rate(tx, "hour", "30"))
    assert said(shop) == "What was lost cost EUR 42.00 so far."
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "90"))
    assert said(shop) == "What was lost cost EUR 42.00 so far."
    through_all(shop, "B", "C")
    assert said(shop) == "Earned EUR 48.00 an hour so far. What was lost cost EUR 42.00 so far."


def test_one_of_two_finished_is_no_hour_of_both(shop: DiskShop) -> None:
    """180 for both over three hours would be 60 an hour, while C is sawn and no more: its hours are still to come."""
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "90"))
    shop.press(lambda tx: pieces.end_piece(tx, shop.piece("B"), Outcome.FINISHED))
    through_all(shop, "B")
    assert said(shop) == ""
    through_all(shop, "C")
    assert said(shop) == "Earned EUR 60.00 an hour so far."


def test_costs_in_two_currencies_are_told_in_a_sentence(shop: DiskShop) -> None:
    shop.press(lambda tx: costs.add_cost(tx, "Steel", CostKind.MATERIAL, Per.PIECE, "12", pattern=shop.pattern))
    shop.press(lambda tx: rates.set_rate(tx, "currency", "USD"))
    assert said(shop).startswith("Steel is in EUR, the shop reckons in USD.")


def test_closed_batches_alone_have_bars_and_those_without_a_price_are_counted(shop: DiskShop) -> None:
    def told() -> tuple[list[tuple[str, str, float]], int]:
        found = all_earned(str(shop.path), shop.clock.now_us, Manner())
        return [(one.name, one.pattern, one.hour) for one in found.batches], found.untold

    shop.press(lambda tx: rates.set_rate(tx, "hour", "30"))
    assert told() == ([], 0)
    shop.press(lambda tx: batches.close_with(tx, shop.batches[0], {}, ""))
    shop.press(lambda tx: say(tx, shop.batches[0], StepState.SKIPPED))
    assert told() == ([], 1)
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "90"))
    assert told() == ([("26-01", "Spreader", 60.0)], 0)


def steel(amount: str) -> CostItem:
    return CostItem(
        id=1, uuid="", name="Steel", kind=CostKind.MATERIAL, per=Per.PIECE, pattern_id=None, stage_id=None, days=None,
        amount=amount, currency="EUR", tax="0", put_away=False,
    )  # fmt: skip


def test_beside_the_fact_stands_what_was_to_be_told_before_it_began() -> None:
    """Six batches of five at 40 min a piece with hardly a spread, none lost: the seventh was told as much.

    At 90 each, of which 12 are steel: 78 for two thirds of an hour, 117; one in ten lost takes some of it.
    """
    made = history(*[(10.0 + i / 100, 30.0 - i / 100) for i in range(7)])
    told = hours_before(made, 7, Decimal(90), (steel("12"),), rates.Rates(), Overhead())
    assert told is not None
    low, high = told
    assert 85 < low < 117 < high < 140
    assert hours_before(made, 1, Decimal(90), (steel("12"),), rates.Rates(), Overhead()) is None
    assert hours_before(made, 99, Decimal(90), (steel("12"),), rates.Rates(), Overhead()) is None


def test_a_draw_is_reckoned_as_the_batch_it_would_be() -> None:
    """Nine of ten draws take 2 h for two pieces, one takes 4 h: (2 × 50 − 3 × 10)/2 = 35 an hour, else 17.50."""
    told = forecast(ShopEstimates(history()), job(3), 100)
    drawn = replace(told, minutes=np.array([[120.0] * 9 + [240.0]]), finished=np.full(10, 2))
    assert hour_range(drawn, Decimal(50), (steel("10"),), rates.Rates(), Overhead()) == (Decimal("17.5"), 35)
    none = replace(drawn, finished=np.array([0, 0, *[2] * 8]))
    assert hour_range(none, Decimal(50), (steel("10"),), rates.Rates(), Overhead()) is None


def test_what_was_told_before_is_said_in_the_same_sentence(shop: DiskShop) -> None:
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "90"))
    through_all(shop, "B", "C")
    own = earned(shop.floor, figures(shop.floor, shop.batches[0].id, shop.clock.now_us), Overhead())
    said_ = earned_text(shop.floor, own, Manner(), (Decimal(20), Decimal("27.5"))).replace("\u00a0", " ")
    assert said_.startswith("Earned EUR 60.00 an hour so far; before it began: EUR 20.00 to EUR 27.50.")
