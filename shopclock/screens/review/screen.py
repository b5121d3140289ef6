"""The Review screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.chart_body import ChartBody
from shopclock.screens.paged.screen import PagedScreen

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from shopclock.screens.review.presenter import ReviewPresenter
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Batch
    from shopclock.widgets.style import Style


class ReviewScreen(PagedScreen):
    """One batch reviewed; what is on its pages stands in the presenter."""

    def __init__(self, look: Style, presenter: ReviewPresenter, now: Callable[[], Moment], folder: Path) -> None:
        """Charts are saved in `folder`."""
        super().__init__(look, presenter, now)
        self._folder = folder
        presenter.on_save(self._save)

    def _save(self, batch: Batch, heading: str) -> str:
        """Save the chart in sight under what its page says; returns where, or why not."""
        from shopclock.screens.files.saving import save_both

        if not isinstance(self.body, ChartBody):
            return "There is no chart in sight. Nothing was written."
        return save_both(self.body.main, self._look, heading, self._folder, f"Review {batch.name}")
