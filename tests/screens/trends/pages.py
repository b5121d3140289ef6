"""The page of the bevels, as the presenter shows it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.trends.state import StageState, View

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.trends.presenter import TrendsPresenter
    from shopclock.shop.figures.trend_rows import TrendRow
    from shopclock.views.chart_picture import Picture
    from tests.screens.trends.trend_shop import TrendShop

    Make = Callable[[list[TrendRow]], TrendsPresenter]


def page(presenter: TrendsPresenter, shop: TrendShop, view: View = View.COUNT) -> StageState:
    """Open the bevels, in a view."""
    presenter.press_stage(str(shop.bevels.id))
    presenter.press_view(view)
    return now(presenter)


def now(presenter: TrendsPresenter) -> StageState:
    """What the page of a stage shows now."""
    state = presenter.state()
    assert isinstance(state, StageState)
    return state


def drawn(presenter: TrendsPresenter) -> Picture:
    """The chart in sight."""
    picture = now(presenter).picture
    assert picture is not None
    return picture
