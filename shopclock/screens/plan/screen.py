"""The Plan screen."""

from __future__ import annotations

from shopclock.screens.paged.screen import PagedScreen


class PlanScreen(PagedScreen):
    """Orders and promises; what is on its pages stands in the presenter."""
