"""What if: a tile for each change, tried anew with the figures that are pressed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.shop.setup import rates
from shopclock.shop.values.entities import CostItem, Per
from tests.screens.plan.plan_shop import press

if TYPE_CHECKING:
    from shopclock.screens.plan.presenter import PlanPresenter
    from shopclock.views.page import Button
    from tests.fake_dialogs import FakeDialogs
    from tests.record.on_disk import DiskShop


@pytest.fixture(autouse=True)
def _there(plan: PlanPresenter, dialogs: FakeDialogs) -> None:
    press(plan, dialogs, "plan")
    press(plan, dialogs, "what if")


def tile(plan: PlanPresenter, title: str) -> Button:
    return next(tile for tile in plan.state().tiles if tile.title.startswith(title))


def test_each_change_that_can_be_asked_for_has_its_tile(plan: PlanPresenter) -> None:
    assert plan.state().title.startswith("26-01 is done by ")
    assert [tile.title for tile in plan.state().tiles] == [
        "One more evening", "Oven: room for 10", "Clamps: room for 16", "Harden sent out", "5 blades of Butter",
        "8 blades of Butter",
    ]  # fmt: skip
    assert all(tile.note for tile in plan.state().tiles)


def test_another_evening_is_tried(plan: PlanPresenter, dialogs: FakeDialogs) -> None:
    press(plan, dialogs, "evening", "6", "8:00", "17:30")
    assert tile(plan, "One more evening").detail == "Sunday, 8:00 to 17:30"
    press(plan, dialogs, "evening", "6", "17:30", "8:00")
    assert dialogs.asked[-1].words.startswith("Hours begin before they end")


def test_a_tool_of_another_size_is_tried(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    key = tile(plan, "Clamps").key
    press(plan, dialogs, key, "40")
    assert tile(plan, "Clamps: room for 40").note
    press(plan, dialogs, key, "0")
    assert dialogs.asked[-1].words == "0 is no number from 1 to 1000. Nothing was changed."


def test_another_size_is_tried(plan: PlanPresenter, dialogs: FakeDialogs) -> None:
    press(plan, dialogs, "size 1", "12")
    assert tile(plan, "12 blades of Butter").note.startswith("by ")
    press(plan, dialogs, "size 0", "61")
    assert dialogs.asked[-1].words == "61 is no number from 1 to 60. Nothing was changed."


def test_what_sending_out_costs_is_kept_and_is_not_paid_meanwhile(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    shop.press(lambda tx: rates.set_rate(tx, "hour", "30"))
    key = tile(plan, "Harden").key
    assert tile(plan, "Harden").detail == "back in 7 days, no price yet"
    press(plan, dialogs, key, "piece", "9", "3")
    press(plan, dialogs, key, "batch", "20", "4")
    told = tile(plan, "Harden").detail.replace("\u00a0", " ")
    assert told == "back in 4 days, EUR 9.00 each and EUR 20.00 a batch"
    press(plan, dialogs, key, "piece", "9,50", "4")
    kept = [(item.name, item.per, item.amount, item.days) for item in shop.floor.all(CostItem)]
    assert kept == [("Harden sent out", Per.PIECE, "9.50", 4), ("Harden sent out, a batch", Per.BATCH, "20", 4)]
