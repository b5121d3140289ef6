"""A shop on disk to plan in: hours on every evening, and eight pieces of a pattern with minutes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.shop.setup import patterns, week
from shopclock.shop.values.entities import CustomerOrder
from tests.analysis.planned import STEPS
from tests.record.on_disk import DiskShop
from tests.shop.workshop import ROUTE

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.screens.plan.presenter import PlanPresenter
    from tests.fake_dialogs import FakeDialogs


def timed_shop(folder: Path) -> DiskShop:
    """Open from 18 to 21 on seven days."""
    made = DiskShop(folder)
    timed = replace(ROUTE, steps=STEPS)
    made.pattern = made.press(lambda tx: patterns.copy_route(tx, timed, "Butter"))
    made.batches.append(made.new_batch(8))
    for day in range(7):
        made.press(lambda tx, day=day: week.add_hours(tx, day, 1080, 1260))
    return made


def press(plan: PlanPresenter, dialogs: FakeDialogs, key: str, *answers: str) -> None:
    """Press a button; the answers go to what it asks, and all of them are asked for."""
    dialogs.answers = list(answers)
    plan.press(key)
    assert dialogs.answers == []


def told(plan: PlanPresenter) -> str:
    """Return what stands under the title, and over the rules."""
    state = plan.state()
    said = (*(line.text for line in state.lines), *(rule.heading for rule in state.rules))
    return " ".join(part for part in said if part).replace("\u00a0", " ")


def order(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> CustomerOrder:
    """Take an order of one for Brook without a day: A is reserved for it."""
    press(plan, dialogs, "promise")
    press(plan, dialogs, "wanted", "1")
    press(plan, dialogs, "take", "Brook")
    return next(shop.floor.all(CustomerOrder))
