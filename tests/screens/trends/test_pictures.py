"""What stands where in the charts: the numbers drawn are those of the analysis."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest

from shopclock.analysis.learning.frame import NO_METHOD
from shopclock.analysis.learning.learning import Learning
from shopclock.analysis.learning.methods import Comparison
from shopclock.analysis.learning.route_minutes import routes_of
from shopclock.analysis.learning.run_chart import BatchAfterBatch
from shopclock.analysis.learning.stage_answer import StageAnswer, stage_answer
from shopclock.screens.trends.pictures import DAY_US, count_picture
from shopclock.screens.trends.shown import Shown
from shopclock.screens.trends.state import TrendChoice, View
from tests.screens.trends.pages import drawn, page
from tests.screens.trends.test_sentences import passing

if TYPE_CHECKING:
    from shopclock.views.chart_picture import Picture
    from tests.screens.trends.pages import Make
    from tests.screens.trends.trend_shop import TrendShop


@pytest.fixture
def answer(shop: TrendShop) -> StageAnswer:
    return stage_answer(passing(shop), shop.bevels.id, {}, routes_of(shop.record.floor))


def picture(make_presenter: Make, shop: TrendShop, view: View = View.COUNT, *presses: str) -> Picture:
    presenter = make_presenter(passing(shop))
    page(presenter, shop, view)
    for key in presses:
        presenter.press_option(key)
    return drawn(presenter)


def test_methods_are_told_apart_by_word_colour_shape_and_dashes(make_presenter: Make, shop: TrendShop) -> None:
    series = picture(make_presenter, shop).series
    assert [(s.name, s.role) for s in series] == [("jig", "dye_text"), ("freehand", "straw")]
    for said in ("role", "shape", "dashed"):
        assert len({getattr(line, said) for line in series}) == 2


def test_a_method_keeps_its_colour_and_mark_whichever_was_worked_last_or_is_shown(
    make_presenter: Make, shop: TrendShop
) -> None:
    """Freehand was worked last and is shown first; the jig is chosen; then only freehand has been worked."""
    looks = {s.name: (s.role, s.shape, s.dashed) for s in picture(make_presenter, shop).series}
    chosen = {s.name: (s.role, s.shape, s.dashed) for s in picture(make_presenter, shop, View.COUNT, "method").series}
    assert chosen == looks
    presenter = make_presenter([row for row in passing(shop) if row.method_id == shop.freehand.id])
    page(presenter, shop, View.COUNT)
    (alone,) = drawn(presenter).series
    assert (alone.role, alone.shape, alone.dashed) == looks["freehand"]


def test_on_its_own_count_a_batch_stands_at_its_exact_midpoint(
    make_presenter: Make, shop: TrendShop, answer: StageAnswer
) -> None:
    fit = answer.methods[1].fit
    assert isinstance(fit, Learning)
    chart = picture(make_presenter, shop, View.COUNT)
    assert [dot.x for dot in chart.series[1].dots] == pytest.approx([point.midpoint for point in fit.points])
    assert chart.below == "blades so far, each method counted on its own"


def test_minutes_are_as_timed_for_the_pattern_shown_and_brought_to_it_for_the_other(
    make_presenter: Make, shop: TrendShop, answer: StageAnswer
) -> None:
    fit, levels = answer.methods[1].fit, answer.methods[1].levels
    assert isinstance(fit, Learning)
    oyster, paring = (shop.batches[i].pattern_id for i in (0, 1))
    factor = math.exp(levels[paring] - levels[oyster])
    dots = picture(make_presenter, shop).series[1].dots
    for dot, point in zip(dots, fit.points, strict=True):
        assert dot.y == pytest.approx(point.minutes * (factor if point.lot.pattern_id == oyster else 1))


def test_on_one_count_each_batch_stands_after_all_that_began_before_it(
    make_presenter: Make, shop: TrendShop, answer: StageAnswer
) -> None:
    chart = picture(make_presenter, shop, View.COUNT, "own")
    assert chart.below == "blades so far, all methods together"
    jig, freehand = chart.series
    fits = {method.trend.method_id: method.fit for method in answer.methods}
    before = {shop.jig.id: [0, 0, 0, 6, 12, 18], shop.freehand.id: [18, 24, 30, 36, 36]}
    for series, name in ((jig, shop.jig.id), (freehand, shop.freehand.id)):
        fit = fits[name]
        assert isinstance(fit, Learning)
        own = zip(fit.points, before[name], strict=False)
        assert [dot.x for dot in series.dots[: len(before[name])]] == pytest.approx([p.midpoint + n for p, n in own])


def test_the_curve_and_band_drawn_are_the_models_and_end_in_the_next_batch(
    make_presenter: Make, shop: TrendShop, answer: StageAnswer
) -> None:
    pattern = shop.batches[1].pattern_id
    curve, found = answer.methods[1].curves[pattern], answer.methods[1].next_batch[pattern]
    chart = picture(make_presenter, shop)
    band = chart.series[1].band
    assert band is not None
    assert (band.xs, band.lows, band.middles, band.highs) == (curve.counts, curve.lows, curve.middles, curve.highs)
    assert (curve.counts[0], curve.counts[-1]) == (1, 78)
    assert chart.ahead is not None
    assert (chart.ahead.y, chart.ahead.low, chart.ahead.high) == (found.minutes, found.in_80.low, found.in_80.high)
    assert chart.ahead.x == 72 + 3.5
    assert found.minutes == pytest.approx((curve.middles[-1] + curve.middles[-2]) / 2, rel=0.02)


def test_the_crossing_stands_at_its_piece_on_either_count(
    make_presenter: Make, shop: TrendShop, answer: StageAnswer
) -> None:
    found = answer.comparison
    assert isinstance(found, Comparison)
    assert found.count is not None
    own = picture(make_presenter, shop, View.COUNT).uprights
    assert [(line.x, line.text) for line in own] == [(found.count, "freehand passes jig")]
    one = picture(make_presenter, shop, View.COUNT, "own").uprights[0].x
    assert one == found.count + 36, "the jig's six batches of six all came before"


def test_where_the_curves_meet_on_one_count_the_crossing_stands(make_presenter: Make, shop: TrendShop) -> None:
    """One pattern alone, so that the curves drawn are those compared."""
    rows = [row for row in passing(shop) if row.pattern_id == shop.batches[1].pattern_id]
    rows += [shop.row(i, m, shop.jig.id) for i, m in ((7, 18.0), (9, 18.1), (11, 18.2))]
    presenter = make_presenter(rows)
    page(presenter, shop)
    chart = drawn(presenter)
    jig, freehand = (next(s.band for s in chart.series if s.name == name) for name in ("jig", "freehand"))
    assert jig is not None
    assert freehand is not None
    below = next(x for x, y in zip(freehand.xs, freehand.middles, strict=True) if y <= jig.middles[0])
    assert chart.uprights
    assert abs(chart.uprights[0].x - below) <= 12


def test_by_date_a_batch_stands_at_the_middle_of_its_labour(
    make_presenter: Make, shop: TrendShop, answer: StageAnswer
) -> None:
    chart = picture(make_presenter, shop, View.DATES)
    assert chart.series[0].dots[0].x == answer.trend.methods[0].lots[0].at_us / DAY_US
    assert chart.ticks is not None
    assert [text for _, text in chart.ticks] == ["Feb 2025", "Mar 2025", "Apr 2025"]


def test_batch_after_batch_is_actual_over_what_the_others_let_expect(
    make_presenter: Make, shop: TrendShop, answer: StageAnswer
) -> None:
    found = answer.methods[1].after
    assert isinstance(found, BatchAfterBatch)
    series = picture(make_presenter, shop, View.AFTER).series[0]
    assert [dot.y for dot in series.dots] == pytest.approx([100 * d.minutes / d.expected for d in found.dots])
    assert series.band is not None
    assert series.band.highs[0] == pytest.approx(100 * found.dots[0].limits.high / found.dots[0].expected)


def test_what_is_left_out_is_hollow_in_the_chart(make_presenter: Make, shop: TrendShop) -> None:
    presenter = make_presenter(shop.two_methods())
    page(presenter, shop)
    freehand = drawn(presenter).series[1]
    hollow = {dot.key for dot in freehand.dots if dot.hollow}
    assert hollow == {f"{shop.batches[i].id}:{shop.freehand.id}:0" for i in (5, 15)}


def test_one_batch_alone_can_be_drawn_by_count_and_by_date(make_presenter: Make, shop: TrendShop) -> None:
    presenter = make_presenter(shop.rows([12.0], None))
    for view in (View.COUNT, View.DATES):
        page(presenter, shop, view)
        chart = drawn(presenter)
        assert chart.first_x < chart.series[0].dots[0].x < chart.last_x


RUN = (16, 16.3, 15.9, 16.2, 16.8, 16.9, 16.8, 17.0, 15.9, 16.1, 16.2, 15.8, 16, 16.1)


@pytest.mark.parametrize(("last", "told"), [(16.1, []), (24.0, ["25-14"])])
def test_a_batch_out_of_the_ordinary_has_its_name_beside_it(
    make_presenter: Make, shop: TrendShop, last: float, told: list[str]
) -> None:
    presenter = make_presenter(shop.rows([*RUN[:-1], last], None))
    page(presenter, shop, View.AFTER)
    series = drawn(presenter).series[0]
    assert [dot.text for dot in series.dots if dot.text] == told
    assert series.band is not None
    ends = zip(series.dots, series.band.lows, series.band.highs, strict=True)
    assert [dot.text for dot, low, high in ends if not low <= dot.y <= high] == told


def test_where_much_was_made_before_timing_the_axis_begins_at_the_first_mark(shop: TrendShop) -> None:
    rows = shop.rows([20.0, 18.6, 18.0, 17.1, 16.8, 16.9, 16.3], None)
    answer = stage_answer(rows, shop.bevels.id, {(shop.bevels.id, NO_METHOD, False): 200})
    chart = count_picture(Shown(shop.record.floor, answer, TrendChoice()))
    assert 190 < chart.first_x < 201
    assert 200 < chart.series[0].dots[0].x < 207


def test_a_method_that_never_made_a_pattern_is_brought_to_it_by_the_main_one(
    make_presenter: Make, shop: TrendShop
) -> None:
    falling = [30.0, 20.0] * 4 + [30.0]
    rows = [*shop.rows(falling, shop.freehand.id), shop.row(0, 27.0, shop.slow.id, first_us=0, middle_us=0)]
    presenter = make_presenter(rows)
    page(presenter, shop)
    freehand, slow = drawn(presenter).series
    assert not slow.dots[0].hollow, "one batch of a method counts"
    factor = freehand.dots[0].y / 30.0
    assert slow.dots[0].y == pytest.approx(27.0 * factor)
    presenter.press_option("pattern")
    freehand, slow = drawn(presenter).series
    assert slow.dots[0].y == pytest.approx(27.0 * freehand.dots[0].y / 30.0)
    assert freehand.dots[0].y / 30.0 != pytest.approx(factor)
