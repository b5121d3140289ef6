"""When the program asks whether a stop was forgotten."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.shop.fields import setting
from shopclock.shop.state import settings
from shopclock.views.page import PageContent

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter

TIMES = {2: "twice as long as usual", 3: "three times as long", 4: "four times as long", 5: "five times as long"}
HOURS = {n: f"after {n} h" for n in settings.UNKNOWN_H.choices}
ENDS = {time: f"at {time}" for time in settings.DAY_ENDS.choices}


def asking_page(stack: PagedPresenter) -> PageContent:
    """The end of the shop's day, how far beyond usual, and how long where nothing is known."""
    return PageContent(
        "Still at it?",
        ["What runs by hand is asked about, never stopped. What waits is not asked about."],
        [
            setting(stack, "The day ends", settings.DAY_ENDS, ENDS),
            setting(stack, "Asked when", settings.TIMES_USUAL, TIMES),
            setting(stack, "Nothing usual yet", settings.UNKNOWN_H, HOURS),
        ],
    )
