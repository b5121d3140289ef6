"""The plan, day by day, what if, what was earned, and the quench oil, without a window."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.money.earnings import BatchEarned, EarnedTold
from shopclock.record.press.record import Record
from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.plan.pages import earned
from shopclock.screens.plan.presenter import PlanPresenter
from shopclock.shop.setup import quench_oil
from shopclock.shop.values.money import Manner
from shopclock.views.bars_picture import LinesPicture
from tests.screens.plan.plan_shop import order, press, told
from tests.shop.workshop import ToyClock

if TYPE_CHECKING:
    from pathlib import Path

    from tests.fake_dialogs import FakeDialogs
    from tests.record.on_disk import DiskShop


def test_a_press_on_a_batch_moves_it_in_the_order_of_work(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    shop.batches.append(shop.new_batch(4))
    first, second = shop.batches
    press(plan, dialogs, "plan")
    assert plan.state().title.startswith("All 2 batches done by ")
    assert [tile.key for tile in plan.state().tiles] == [f"batch {first.id}", f"batch {second.id}"]
    assert all(" if all planned hours are worked; " in tile.detail for tile in plan.state().tiles)
    press(plan, dialogs, f"batch {first.id}", "later")
    assert [choice.key for choice in dialogs.asked[-1].choices] == ["later", "show"]
    assert [tile.key for tile in plan.state().tiles] == [f"batch {second.id}", f"batch {first.id}"]
    press(plan, dialogs, f"batch {first.id}", "earlier")
    assert [tile.key for tile in plan.state().tiles] == [f"batch {first.id}", f"batch {second.id}"]
    press(plan, dialogs, "by promise")
    assert not next(tile for tile in plan.state().actions if tile.key == "by promise").enabled


def test_a_promise_that_no_longer_holds_stands_first_and_in_red(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    order(plan, dialogs, shop)
    press(plan, dialogs, "wanted", "9")
    press(plan, dialogs, "day", "2026-10-25")
    plan.home()
    press(plan, dialogs, "plan")
    line = plan.state().lines[0]
    assert (line.text, line.role) == ("No longer holds: Brook, 9 Butter by Sun 25 Oct: lacks 1.", "red")


def test_the_plan_is_shown_day_by_day(plan: PlanPresenter, dialogs: FakeDialogs) -> None:
    press(plan, dialogs, "plan")
    press(plan, dialogs, "days")
    state = plan.state()
    assert state.chart is not None
    assert isinstance(state.chart.main, LinesPicture)
    assert state.title == f"{len(state.chart.main.rows)} days at the work, if it goes as usual"
    assert state.chart.main.ticks[0][1] == "18:00"
    assert ("26-01 Bevel A–H", "26-01 Bevel", "Bevel") in {s.names for row in state.chart.main.rows for s in row.spans}


def test_a_plan_without_open_batches_says_so(tmp_path: Path, dialogs: FakeDialogs) -> None:
    record = Record.open(tmp_path / "new", ToyClock(), make=True, zone="Europe/Vienna")
    plan = PlanPresenter(record, dialogs, lambda *_: None, AtOnce(), Manner())
    press(plan, dialogs, "plan")
    assert plan.state().title == "No batch is open, so there is nothing to plan"
    assert [tile.key for tile in (*plan.state().tiles, *plan.state().actions)] == ["batches", "calendar"]
    record.close()


def test_without_a_price_earned_says_where_to_set_one(plan: PlanPresenter, dialogs: FakeDialogs) -> None:
    press(plan, dialogs, "costs")
    press(plan, dialogs, "earned")
    assert plan.state().title == "Nothing earned can be told yet: a price is asked under Costs"
    assert plan.state().chart is None
    press(plan, dialogs, "costs")
    assert plan.state().title == "What a knife costs can be told when a batch is closed"


def test_what_each_batch_earned_is_a_bar_by_pattern() -> None:
    """Butter earns most by its last three, though its first earned least; an hour that cost money has no bar."""
    hours = [("26-01", "Butter", -5.0), *((f"26-0{i}", "Butter", 40.0) for i in (2, 3, 4)), ("26-05", "Oyster", 30.0)]
    batches = tuple(BatchEarned(name, pattern, hour, f"EUR {hour:.2f}") for name, pattern, hour in hours)
    found = earned.picture(batches, lambda hour: f"EUR {hour:.2f}")
    assert [(row.name, row.number) for row in found.rows[:2]] == [
        ("Butter, last 3", "EUR 40.00"),
        ("Oyster, last 1", "EUR 30.00"),
    ]
    assert [row.told for row in found.rows] == [True, True, *[False] * 5], "every pattern is in sight on the first page"
    assert [row.parts[0][1] for row in found.rows[2:]] == [40.0, 40.0, 40.0, 0.0, 30.0]
    assert found.rows[5].number == "EUR -5.00"
    assert [name for _, name in found.legend] == ["Butter", "Oyster"]
    assert earned.best(EarnedTold(batches, 0)) == "Butter earns most an hour, by the last 3 of each pattern"
    assert earned.best(EarnedTold(batches[-1:], 0)) == "Oyster: EUR 30.00 an hour in its last batch"


def test_the_oil_is_told_once_all_six_numbers_are_there_and_its_caution_always(
    plan: PlanPresenter, dialogs: FakeDialogs
) -> None:
    press(plan, dialogs, "next")
    press(plan, dialogs, "oil")
    typed = {"oil litres": "10", "oil low": "30", "oil high": "60", "oil blade": "200", "oil blade temperature": "800"}
    for key, number in typed.items():
        press(plan, dialogs, key, number)
        assert plan.state().title == "How warm does the oil get"
        assert told(plan) == f"{quench_oil.CAUTION} {quench_oil.SOURCES}"
    press(plan, dialogs, "oil temperature", "20")
    assert plan.state().title == "The oil is outside 30 to 60 °C already. Bring it there first."
    press(plan, dialogs, "oil temperature", "40,5")
    assert plan.state().title == quench_oil.rise_text(quench_oil.Bath(10, 30, 60), 0.2, 800, 40.5)
    press(plan, dialogs, "oil blade temperature", "1300")
    assert dialogs.asked[-1].words == "1300 is no number from 20 to 1200 °C. Nothing was changed."


def test_each_batch_says_its_days_beside_its_rule(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    press(plan, dialogs, "plan")
    (tile,) = plan.state().tiles
    assert tile.title == f"{shop.batches[0].name} Butter"
    assert " if all planned hours are worked; " in tile.detail
    for _ in range(3):
        shop.new_batch(2)
    assert all(tile.rule is not None and tile.rule.reaches for tile in plan.state().tiles)
