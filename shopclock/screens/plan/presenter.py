"""What Plan shows and does, without a window."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.stack import PageStack
from shopclock.screens.plan.pages.orders import OrdersPage

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.record import Record
    from shopclock.screens.paged.stack import Go
    from shopclock.screens.work import Work
    from shopclock.shop.money import Manner
    from shopclock.widgets.dialogs import Dialogs


class PlanPresenter(PageStack):
    """The pages of Plan, beginning with the open orders. `work` reckons beside the window."""

    def __init__(self, record: Record, dialogs: Dialogs, go: Go, work: Work, manner: Manner) -> None:
        super().__init__(record, dialogs, go)
        self.work = work
        self.manner = manner
        self.to_calendar: Callable[[], None] = lambda: dialogs.tell("There is no folder for it. Nothing was written.")
        self.open(OrdersPage(self))
