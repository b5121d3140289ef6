"""Costs: the title says which patterns cost more than is asked; their tiles come first; each says it by itself."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from shopclock.analysis.money.pattern_costs import Cost, PatternCost
from shopclock.screens.plan import texts
from shopclock.screens.plan.presenter import PlanPresenter
from shopclock.shop.values.money import Manner
from tests.screens.later import Later

if TYPE_CHECKING:
    from tests.fake_dialogs import FakeDialogs
    from tests.record.on_disk import DiskShop


def costing(name: str, total: str, asked: str | None) -> PatternCost:
    parts = (Decimal(total), *[Decimal(0)] * 6)
    cost = Cost(parts, Decimal(1), Decimal(total), Decimal(asked) if asked is not None else None)
    return PatternCost(1, name, cost, 3, 6, ())


OVER, LEVEL, UNDER, UNASKED = (
    costing("Oyster", "51.31", "48"), costing("Butter", "48", "48"), costing("Paring 95", "40", "48"),
    costing("Cook's 180", "40", None),
)  # fmt: skip


@pytest.mark.parametrize(
    ("found", "said"),
    [
        ((OVER, LEVEL, UNDER, UNASKED), "Oyster costs more than is asked"),
        ((OVER, UNDER, costing("Boning 150", "60", "48")), "Oyster and Boning 150 cost more than is asked"),
        ((OVER, costing("A", "2", "1"), costing("B", "2", "1"), UNDER), "3 of 4 patterns cost more than is asked"),
        ((LEVEL, UNDER, UNASKED), "No pattern costs more than is asked"),
        ((UNASKED,), "No price is asked yet"),
    ],
)
def test_the_title_names_what_costs_more_than_is_asked(found: tuple[PatternCost, ...], said: str) -> None:
    """As much as is asked isn't more; what nothing is asked for can't be either."""
    assert texts.costs_said(found) == said


def test_a_pattern_takes_no_press_while_its_cost_is_worked_out(shop: DiskShop, dialogs: FakeDialogs) -> None:
    """It opens its batches or asks for its price: which of both is only known then."""
    later = Later()
    plan = PlanPresenter(shop.record, dialogs, lambda *_: None, later, Manner())
    plan.press("costs")
    assert {tile.title: tile.enabled for tile in plan.state().tiles}["Butter"] is False
    later.go_on()
    (butter,) = (tile for tile in plan.state().tiles if tile.title == "Butter")
    assert (butter.detail, butter.enabled) == ("asked nothing yet", True)
