"""The quote of an order, pressed for on its page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.exchange.paper.page import A4
from tests.screens.plan.plan_shop import order, press

if TYPE_CHECKING:
    from shopclock.screens.paged.paper import Make
    from shopclock.screens.plan.presenter import PlanPresenter
    from tests.fake_dialogs import FakeDialogs
    from tests.record.on_disk import DiskShop


class Tray:
    """Takes what is put on paper."""

    def __init__(self) -> None:
        self.out: list[tuple[str, tuple[str, ...]]] = []

    def put(self, name: str, make: Make) -> None:
        self.out += [(name, page.texts) for page in make(A4)]


def test_a_quote_has_the_orders_price_and_deposit(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    plan.paper = tray = Tray()
    order(plan, dialogs, shop)
    press(plan, dialogs, "wanted", "3")
    press(plan, dialogs, "price", "240")
    press(plan, dialogs, "deposit", "100")
    press(plan, dialogs, "quote")
    ((name, texts),) = tray.out
    assert name == "Quote 2026-001 Brook"
    assert {"Quote 2026-001", "For Brook"} <= set(texts)
    said = {text.replace("\u00a0", " ") for text in texts}
    assert said >= {"EUR 240.00", "EUR 720.00", "−EUR 100.00", "EUR 620.00"}


def test_without_a_price_there_is_a_sentence_and_no_quote(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    plan.paper = tray = Tray()
    order(plan, dialogs, shop)
    press(plan, dialogs, "quote")
    assert tray.out == []
    assert dialogs.asked[-1].words == "The order of Brook has no price yet. Nothing was written; press Price first."
