"""When a tool has paid for itself: two numbers, or one and the record."""

from __future__ import annotations

from decimal import Decimal
from types import SimpleNamespace
from typing import TYPE_CHECKING

import pytest

from shopclock.analysis.money.cost import NO_RATE, finished_a_year, tool_said
from shopclock.screens.plan.pages import tool_pays
from shopclock.shop.setup import rates
from shopclock.shop.values.money import Manner
from tests.analysis.planned import planned_shop
from tests.screens.plan.plan_shop import press

if TYPE_CHECKING:
    from shopclock.screens.plan.presenter import PlanPresenter
    from tests.fake_dialogs import FakeDialogs
    from tests.record.on_disk import DiskShop

D = Decimal


def said(price: str, saved: str, a_year: int = 0, hour: str = "24") -> str:
    shop = planned_shop(1)
    shop.press(lambda tx: rates.set_rate(tx, "hour", hour))
    return tool_said(shop.floor, D(price), D(saved), a_year, Manner()).replace("\u00a0", " ")


def test_a_price_is_earned_back_by_the_minutes_saved_worked_by_hand() -> None:
    """Five minutes at 24 an hour are 2.00: 480 takes 240 of them, three years at 80 a year."""
    assert said("480", "5") == "Earned back after 240 blades, at EUR 2.00 each"
    assert said("481", "5", 80).startswith("Earned back after 241 blades, at EUR 2.00 each; about 3 years")
    assert said("480", "5", 2880).endswith("; about 1 month as you work now")
    assert said("480", "5", 480).endswith("; about 6 months as you work now")


def test_without_a_rate_or_a_saving_there_is_a_sentence() -> None:
    assert said("480", "5", hour="0") == NO_RATE
    assert said("480", "0") == "It saves no minutes, so it is never earned back"


def test_a_year_counts_what_was_finished_in_it() -> None:
    rows = [SimpleNamespace(finished=n, closed_us=closed) for n, closed in ((5, 10**15), (6, 1), (7, None))]
    assert finished_a_year(rows, 10**15 + 1) == 5  # type: ignore[arg-type]  # all that is read of a row


def test_both_numbers_are_pressed(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    shop.press(lambda tx: rates.set_rate(tx, "hour", "24"))
    press(plan, dialogs, "costs")
    press(plan, dialogs, "tool")
    assert plan.state().title == "When has a tool paid for itself"
    assert not plan.state().actions[0].enabled
    press(plan, dialogs, "price", "480")
    press(plan, dialogs, "saved", "5,0")
    assert plan.state().title.startswith("Earned back after 240 blades")
    assert [tile.title.replace("\u00a0", " ") for tile in plan.state().tiles] == ["EUR 480.00", "5 min"]
    press(plan, dialogs, "saved", "0")
    assert dialogs.asked[-1].words == "0 is no number of minutes up to 1000. Nothing was changed."


@pytest.mark.parametrize("typed", ["", "x", "-1", "nan", "inf", "1001"])
def test_what_is_no_number_of_minutes_is_refused(typed: str) -> None:
    with pytest.raises(tool_pays.Refusal, match="is no number of minutes up to 1000"):
        tool_pays.typed_minutes(typed)
