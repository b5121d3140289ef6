"""What batches earned, in a line on Review and as bars under Plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.analysis.earned_told import all_earned, batch_earned
from shopclock.shop import begin, closing, costs, finish, pieces, rates
from shopclock.shop.money import Manner
from shopclock.shop.planned import CostKind, Per
from tests.record.on_disk import DiskShop

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[DiskShop]:
    """A batch of three that got 180 min, before A was lost."""
    made = DiskShop(tmp_path, 3)
    made.press(lambda turn: begin.begin(turn, made.step("Saw")))
    made.clock.on(180)
    made.press(lambda turn: finish.go_on(turn, next(iter(made.floor.running.values()))))
    made.press(begin.stop)
    made.press(lambda turn: pieces.lose(turn, made.piece("A"), made.step("Saw"), "cracked"))
    yield made
    made.close()


def said(shop: DiskShop) -> str:
    return batch_earned(str(shop.path), shop.batches[0].id, shop.clock.now_us, Manner()).replace("\u00a0", " ")


def test_without_a_price_a_cost_or_a_rate_nothing_is_said(shop: DiskShop) -> None:
    assert said(shop) == ""


def test_the_hour_and_the_lost_piece_in_money(shop: DiskShop) -> None:
    """Three hours for two pieces at 90: each blank costs 12, so 90 − 12 − 6 for an hour and a half.

    The lost piece took an hour at 30 and a blank.
    """
    shop.press(lambda turn: costs.add_cost(turn, "Steel", CostKind.MATERIAL, Per.PIECE, "12", pattern=shop.pattern))
    shop.press(lambda turn: rates.set_rate(turn, "hour", "30"))
    assert said(shop) == "What was lost cost EUR 42.00 so far."
    shop.press(lambda turn: costs.ask(turn, shop.pattern, "90"))
    assert said(shop) == "Earned EUR 48.00 an hour so far. What was lost cost EUR 42.00 so far."


def test_costs_in_two_currencies_are_told_in_a_sentence(shop: DiskShop) -> None:
    shop.press(lambda turn: costs.add_cost(turn, "Steel", CostKind.MATERIAL, Per.PIECE, "12", pattern=shop.pattern))
    shop.press(lambda turn: rates.set_rate(turn, "currency", "USD"))
    assert said(shop).startswith("Steel is in EUR, the shop reckons in USD.")


def test_closed_batches_alone_have_bars_and_those_without_a_price_are_counted(shop: DiskShop) -> None:
    def told() -> tuple[list[tuple[str, str, float]], int]:
        found = all_earned(str(shop.path), shop.clock.now_us, Manner())
        return [(one.name, one.pattern, one.hour) for one in found.batches], found.untold

    shop.press(lambda turn: rates.set_rate(turn, "hour", "30"))
    assert told() == ([], 0)
    shop.press(lambda turn: closing.close_with(turn, shop.batches[0], {}, ""))
    assert told() == ([], 1)
    shop.press(lambda turn: costs.ask(turn, shop.pattern, "90"))
    assert told() == ([("26-01", "Spreader", 60.0)], 0)
