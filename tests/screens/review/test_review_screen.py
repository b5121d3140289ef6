"""Review in its window: twenty stages turn pages and lose none, at all sizes and in gloves."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.places import resource
from shopclock.screens.paged.chart_body import ChartBody
from shopclock.views.bars_picture import BarRow, BarsPicture, Fill
from shopclock.views.page import Body, ChartView, PageState
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.press_button import no_time
from shopclock.widgets.style import Style
from shopclock.widgets.theme import read_theme
from tests.widgets.gallery import SCREENS, sizes_of

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

N = 20
ROWS = tuple(BarRow(f"Stage {n}", ((Fill("dye"), float(n)),), f"{n}.0", 1.0, 2.0) for n in range(N))


def state(chart: ChartView) -> PageState:
    return PageState("", body=Body.CHART, chart=chart, trail=(0,))


@pytest.mark.parametrize("gloves", [False, True])
@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize("share", [0.35, 0.6])
def test_every_stage_comes_into_sight_page_by_page(qapp: QApplication, screen: str, gloves: bool, share: float) -> None:
    sizes = sizes_of(screen, gloves=gloves)
    family = load_font(resource("fonts", name) for name in FONT_FILES)
    look = Style(read_theme(resource("theme.toml"), "dark"), sizes, family, bounce_ms=0)
    body = ChartBody(look, no_time)
    body.resize(sizes.width, round(sizes.height * share))
    body.show()
    body.show_page(state(ChartView(BarsPicture("Minutes", (), ROWS), BarsPicture("Hours", (), ROWS[:3]))))
    qapp.processEvents()
    seen = list(range(body.bars.first, min(N, body.bars.first + body.bars.in_sight())))
    while body.more.isVisible() and body.more.isEnabled():
        assert body.more.height() >= sizes.tab - 1
        body.more.click()
        seen += range(body.bars.first, min(N, body.bars.first + body.bars.in_sight()))
    assert seen == list(range(N))
    assert body.bars.high() >= body.bars.px() * 1.2
    assert not body.grab().isNull()


def test_a_page_without_a_chart_draws_nothing(qapp: QApplication) -> None:
    sizes = sizes_of("1280x800")
    look = Style(read_theme(resource("theme.toml"), "dark"), sizes, "", bounce_ms=0)
    body = ChartBody(look, no_time)
    body.show_page(state(ChartView(BarsPicture("Minutes"))))
    body.show()
    qapp.processEvents()
    assert not body.grab().isNull()
    assert not body.more.isVisible()
