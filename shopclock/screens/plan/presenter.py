"""Presenter of Plan, without a window."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.plan.pages.order import OrderPage
from shopclock.screens.plan.pages.orders import OrdersPage
from shopclock.screens.plan.planning import Planning
from shopclock.shop.values.entities import CustomerOrder

if TYPE_CHECKING:
    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.shop.values.money import Manner
    from shopclock.views.dialogs import Dialogs


class PlanPresenter(Planning):
    """The pages of Plan, beginning with the open orders."""

    def __init__(self, record: Record, dialogs: Dialogs, go: ShowScreen, work: WorkRunner, manner: Manner) -> None:
        super().__init__(record, dialogs, go, work, manner)
        self.open(OrdersPage(self))

    def show_order(self, order_id: int) -> None:
        """Have an order's page in sight."""
        order = self.floor.find(CustomerOrder, order_id)
        self.home()
        if order is not None:
            self.open(OrderPage(self, order))
