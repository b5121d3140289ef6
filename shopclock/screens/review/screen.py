"""The Review screen."""

from __future__ import annotations

from shopclock.screens.paged.screen import PagedScreen


class ReviewScreen(PagedScreen):
    """One batch reviewed; what is on its pages stands in the presenter."""
