"""Set-up and the size of a batch: what falls on each piece, and what a second load costs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.trends.state import View
from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.values.entities import Pattern, RouteStep, Tool
from tests.screens.trends.pages import drawn, now

if TYPE_CHECKING:
    from shopclock.screens.trends.presenter import TrendsPresenter
    from tests.screens.trends.pages import Make
    from tests.screens.trends.trend_shop import TrendShop

MINUTES = [20.0, 18.4, 17.3, 16.6, 16.1, 15.7, 15.2]
SETUP_US = 12 * 60_000_000


def loaded(shop: TrendShop) -> tuple[RouteStep, int]:
    """A step whose tool takes several pieces at once, and how many."""
    floor = shop.record.floor
    steps = route_steps(floor, newest_route(floor, floor.get(Pattern, shop.batches[0].pattern_id)))
    tools = [(s, floor.get(Tool, s.tool_id).capacity) for s in steps if s.tool_id is not None]
    sizes = [(step, int(capacity / step.tool_share)) for step, capacity in tools if capacity is not None]
    return next((step, size) for step, size in sizes if size > 1)


def opened(make_presenter: Make, shop: TrendShop, stage_id: int) -> TrendsPresenter:
    presenter = make_presenter(shop.rows(MINUTES, None, stage_id=stage_id, setup_us=SETUP_US))
    presenter.press_stage(str(stage_id))
    presenter.press_view(View.SIZES)
    return presenter


def test_what_is_worked_one_by_one_is_set_up_once_a_batch(make_presenter: Make, shop: TrendShop) -> None:
    presenter = opened(make_presenter, shop, shop.bevels.id)
    assert now(presenter).sentence == (
        "Set-up takes 12.0 min a batch (12.0 to 12.0): 2.0 min a blade in a batch of 6, 1.0 in 12."
    )
    assert now(presenter).more == (
        "The more blades in a batch, the less set-up falls on each. Ranges in brackets hold 19 times in 20."
    )
    band = drawn(presenter).series[0].band
    assert band is not None
    run = band.middles[0] - 12.0
    assert list(band.middles) == pytest.approx([run + 12.0 / n for n in band.xs])


def test_a_second_load_is_a_second_set_up(make_presenter: Make, shop: TrendShop) -> None:
    """Batches of six; what was pressed for a batch is shared by its loads."""
    step, size = loaded(shop)
    each = 12.0 / -(-6 // size)
    presenter = opened(make_presenter, shop, step.stage_id)
    assert now(presenter).sentence.startswith(f"Set-up takes {each:.1f} min a load")
    assert now(presenter).more == (
        f"A load holds {size}; each further load is set up again. Ranges in brackets hold 19 times in 20."
    )
    band = drawn(presenter).series[0].band
    assert band is not None
    run = band.middles[0] - each
    for n in (size, size + 1):
        assert band.middles[n - 1] == pytest.approx(run + each * -(-n // size) / n)
    assert band.middles[size] > band.middles[size - 1]


def test_the_mark_stands_at_the_size_of_the_newest_batch(make_presenter: Make, shop: TrendShop) -> None:
    ahead = drawn(opened(make_presenter, shop, shop.bevels.id)).ahead
    assert ahead is not None
    assert ahead.x == 6
    assert ahead.text.startswith("batch of 6: ")


def test_where_set_up_is_not_known_it_is_looked_at_by_count(make_presenter: Make, shop: TrendShop) -> None:
    """What was looked at stays from one method or maker to the next: an empty chart stood there, and no way chosen."""
    presenter = make_presenter(shop.rows(MINUTES, None))
    presenter.press_stage(str(shop.bevels.id))
    presenter.press_view(View.SIZES)
    assert now(presenter).view is View.COUNT
    assert now(presenter).picture is not None
    presenter.press_view(View.TABLE)
    assert now(presenter).view is View.TABLE
