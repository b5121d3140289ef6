"""Pages about one stretch of work: they know it by its number and leave when it was taken away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.amend.amending import full_name, span_text
from shopclock.shop.values.entities import Interval
from shopclock.views.page import Page

if TYPE_CHECKING:
    from shopclock.screens.amend.amending import Amending


class IntervalAbout(Page):
    """A page about one stretch, with when and what it was at the top."""

    def __init__(self, amending: Amending, number: int) -> None:
        self._amending = amending
        self._number = number

    @property
    def interval(self) -> Interval:
        """The stretch as it is now."""
        return self._amending.floor.get(Interval, self._number)

    def gone(self) -> bool:
        """Whether it was taken away, or joined to the one before."""
        return self._amending.floor.find(Interval, self._number) is None

    def title(self) -> str:
        """When, and what it was."""
        return f"{span_text(self._amending, self.interval)}   {full_name(self._amending.floor, self.interval)}"
