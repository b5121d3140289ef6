"""What can't be told is one sentence on its page, and nothing was changed: never a trace, nan or silence."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.shop.setup import costs, rates, week
from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.entities import CostKind, OrderRule, Per
from shopclock.shop.values.kinds import RuleKind
from tests.screens.plan.plan_shop import order, press, told

if TYPE_CHECKING:
    from shopclock.screens.plan.presenter import PlanPresenter
    from tests.fake_dialogs import FakeDialogs
    from tests.record.on_disk import DiskShop


def ask(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> str:
    """Ask for two of the pattern; all that the page then says."""
    press(plan, dialogs, "promise")
    press(plan, dialogs, "pattern", str(shop.pattern.id))
    plan.state()
    return f"{plan.state().title} {told(plan)}"


def circle(shop: DiskShop) -> None:
    steps = {step.name: step for step in route_steps(shop.floor, newest_route(shop.floor, shop.pattern))}
    shop.press(
        lambda tx: tx.add(
            OrderRule(
                route_id=steps["Saw"].route_id,
                kind=RuleKind.BEFORE,
                first_step_id=steps["Sharpen"].id,
                then_step_id=steps["Scales"].id,
            )
        )
    )


def no_hours(shop: DiskShop) -> None:
    for hours in week.week(shop.floor):
        shop.press(lambda tx, hours=hours: week.drop_hours(tx, hours))


def below_cost(shop: DiskShop) -> None:
    shop.press(lambda tx: rates.set_rate(tx, "hour", "30"))
    shop.press(lambda tx: costs.add_cost(tx, "Steel", CostKind.MATERIAL, Per.PIECE, "40", pattern=shop.pattern))
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "35"))


def two_currencies(shop: DiskShop) -> None:
    shop.press(lambda tx: costs.add_cost(tx, "Steel", CostKind.MATERIAL, Per.PIECE, "40", pattern=shop.pattern))
    shop.press(lambda tx: rates.set_rate(tx, "currency", "CHF"))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda _shop: None, "No batches yet: all minutes are the route's own, which may be far off."),
        (lambda _shop: None, "No rate for an hour is set, so the work counts as nothing."),
        (no_hours, "The shop's week has no hours yet, so no date can be told. Add hours under Plan."),
        (below_cost, "It doesn't pay for what is bought, so each sale loses money."),
        (
            two_currencies,
            "Steel is in EUR, the shop reckons in CHF. Type its amount anew; no price is told until then.",
        ),
        (circle, "each have to come before the other, so nothing can be planned."),
    ],
    ids=["no history", "rate of zero", "no hours", "price below cost", "two currencies", "circle of rules"],
)
def test_it_is_said_in_a_sentence(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop, change: object, says: str
) -> None:
    change(shop)  # type: ignore[operator]  # one of the functions above
    said = ask(plan, dialogs, shop)
    assert says in said
    assert "nan" not in said
    assert "None" not in said


def test_the_plan_and_what_if_say_why_there_is_none(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    circle(shop)
    press(plan, dialogs, "plan")
    assert "so nothing can be planned" in plan.state().title
    press(plan, dialogs, "what if")
    assert plan.state().tiles == ()
    assert "so nothing can be planned" in plan.state().title


@pytest.mark.parametrize(("change", "says"), [(no_hours, "has no hours yet"), (circle, "so nothing can be planned")])
def test_the_orders_say_why_nothing_is_told_of_their_promises(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop, change: object, says: str
) -> None:
    change(shop)  # type: ignore[operator]  # one of the functions above
    order(plan, dialogs, shop)
    press(plan, dialogs, "day", "2026-11-07")
    plan.home()
    plan.state()
    assert plan.state().tiles[0].note == ""
    line = plan.state().lines[0]
    assert says in line.text
    assert line.role == "red"


def test_a_promise_in_the_past_cant_be_made(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    """Days that have gone by are not offered; one that goes by while the question is open is told."""
    today = shop_time(shop.clock.now_us, zone_of(shop.floor)).date()
    ask(plan, dialogs, shop)
    press(plan, dialogs, "day", today.isoformat())
    assert dialogs.asked[-1].choices[0].key == today.isoformat()
    shop.clock.on(60 * 24)
    press(plan, dialogs, "wanted", "3")
    assert plan.state().title.endswith(" has gone by. Choose a day from today on.")
