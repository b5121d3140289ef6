"""When the program asks whether a stop was forgotten."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.shop.pages.setting import setting_offer
from shopclock.shop.state import settings
from shopclock.views.page import Page, TextLine

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action

TIMES = {2: "twice as long as usual", 3: "three times as long", 4: "four times as long", 5: "five times as long"}
HOURS = {n: f"after {n} h" for n in settings.UNKNOWN_H.choices}
ENDS = {time: f"at {time}" for time in settings.DAY_ENDS.choices}


class AskingPage(Page):
    """The end of the shop's day, how far beyond usual, and how long where nothing is known."""

    def __init__(self, stack: PagedPresenter) -> None:
        self._stack = stack

    def title(self) -> str:
        """What it is."""
        return "Still at it?"

    def lines(self) -> Sequence[TextLine]:
        """What it is about."""
        return (TextLine("What runs by hand is asked about, never stopped. What waits is not asked about."),)

    def offers(self) -> Sequence[Action]:
        """The settings."""
        return [
            setting_offer(self._stack, "The day ends", settings.DAY_ENDS, ENDS),
            setting_offer(self._stack, "Asked when", settings.TIMES_USUAL, TIMES),
            setting_offer(self._stack, "Nothing usual yet", settings.UNKNOWN_H, HOURS),
        ]
