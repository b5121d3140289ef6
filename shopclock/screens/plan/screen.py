"""The Plan screen."""

from __future__ import annotations

from PySide6.QtCore import QLocale

from shopclock.screens.paged.screen import PagedScreen
from shopclock.shop.money import Manner


class PlanScreen(PagedScreen):
    """Orders and promises; what is on its pages stands in the presenter."""


def manner_here() -> Manner:
    """Return how this computer's place writes money."""
    place = QLocale.system()
    return Manner(place.decimalPoint(), place.groupSeparator(), place.toCurrencyString(1.0, "EUR").startswith("EUR"))
