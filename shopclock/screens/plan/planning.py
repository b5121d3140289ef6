"""Ground of Plan's pages: who reckons beside the window, how money is written, where the calendar goes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.paged_presenter import PagedPresenter
from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.entities import Pattern
from shopclock.shop.values.money import money_text

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date
    from decimal import Decimal

    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.shop.values.money import Manner
    from shopclock.views.dialogs import Dialogs

FEW = 3
"""So many tiles are wide enough in every window for a day written large."""


class Planning(PagedPresenter):
    """Pages that ask `work` to reckon beside the window."""

    def __init__(self, record: Record, dialogs: Dialogs, go: ShowScreen, work: WorkRunner, manner: Manner) -> None:
        super().__init__(record, dialogs, go)
        self.work = work
        self.manner = manner
        self.to_calendar: Callable[[], None] = lambda: dialogs.tell("There is no folder for it. Nothing was written.")

    @property
    def today(self) -> date:
        """The shop's day."""
        return shop_time(self.record.instant(), zone_of(self.floor)).date()

    @property
    def patterns(self) -> list[Pattern]:
        """The patterns that aren't put away."""
        return [pattern for pattern in self.floor.all(Pattern) if not pattern.put_away]

    def money(self, amount: Decimal, currency: str) -> str:
        """Say an amount as it is written here."""
        return money_text(amount, currency, self.manner)
