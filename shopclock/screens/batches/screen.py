"""The Batches screen."""

from __future__ import annotations

from shopclock.screens.paged.screen import PagedScreen


class BatchesScreen(PagedScreen):
    """All batches; what is on its pages stands in the presenter."""
