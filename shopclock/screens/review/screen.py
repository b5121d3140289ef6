"""The Review screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.chart_body import ChartBody
from shopclock.screens.paged.screen import PagedScreen
from shopclock.views.figures_text import figures_text

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from shopclock.screens.review.presenter import ReviewPresenter
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Batch
    from shopclock.views.dialogs import Choice
    from shopclock.widgets.style import Style


class ReviewScreen(PagedScreen):
    """One batch reviewed; what is on its pages stands in the presenter."""

    def __init__(self, look: Style, presenter: ReviewPresenter, now: Callable[[], Moment], folder: Path) -> None:
        """Charts are saved in `folder`."""
        super().__init__(look, presenter, now)
        self._folder = folder
        presenter.on_save(self._ways, self._take_along)

    def _ways(self) -> list[Choice]:
        from shopclock.screens.files.saving import places_to_save, ways_out

        return ways_out(places_to_save(self._folder))

    def _take_along(self, batch: Batch, heading: str, key: str) -> str:
        """Save or copy the chart in sight under what its page says; return what is to be told."""
        from shopclock.screens.files.saving import (
            CHART,
            FIGURES,
            copy_chart,
            copy_figures,
            marked,
            places_to_save,
            save_both,
        )

        if not isinstance(self.body, ChartBody):
            return "There is no chart in sight. Nothing was written."
        chart, heading = self.body.main, marked(self.presenter.floor, heading)
        if key == FIGURES:
            return copy_figures(figures_text(chart.picture))
        if key == CHART:
            return copy_chart(chart, self._look, heading)
        folder = places_to_save(self._folder)[int(key.split()[1])][1]
        return save_both(chart, self._look, heading, folder, f"Review {batch.name}")
