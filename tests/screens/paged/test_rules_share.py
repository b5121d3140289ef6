"""Rules over tiles share the room: one that would be a heading alone leaves what it doesn't need."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.places import resource
from shopclock.screens.paged.rule_body import RuleBody
from shopclock.views.metrics import Sizes
from shopclock.views.page import PageState, item
from shopclock.views.rule_picture import RuleMark, RulePicture
from shopclock.widgets.style import Style
from shopclock.widgets.theme import read_theme

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

DATES = RulePicture(marks=(RuleMark(0.4, "the market by 5 Mar"),), over=2, under=2)
PRICE = RulePicture(heading="Lowest price that pays: 70.", posts=(RuleMark(0.5, "70"),))


@pytest.fixture
def body(qtbot: QtBot) -> RuleBody:
    look = Style(read_theme(resource("theme.toml"), "dark"), Sizes(1024, 600, 4.63), "Inter", bounce_ms=0)
    made = RuleBody(look, lambda: None)
    qtbot.addWidget(made)
    made.show_page(PageState("By when", tiles=[item("n", "Two", lambda: None)], rules=(DATES, PRICE)))
    return made


def heights(body: RuleBody, spare: int) -> tuple[int, int]:
    """Heights of both rules where there is so much more room than the least of each, px."""
    dates, price = body.faces
    least = sum(face.minimumSizeHint().height() + body._look.sizes.gap for face in body.faces)
    body.resize(1000, body.tiles.minimumHeight() + least + spare)
    body.show()
    return dates.height(), price.height()


def test_where_the_price_would_have_no_rule_the_dates_have_its_room(body: RuleBody) -> None:
    dates, price = body.faces
    spare = 30
    assert price.least_with_rule() - price.minimumSizeHint().height() > spare / 2
    assert heights(body, spare) == (dates.minimumSizeHint().height() + spare, price.minimumSizeHint().height())


def test_with_room_for_both_each_has_its_rule(body: RuleBody) -> None:
    _, price = body.faces
    wished = [face.sizeHint().height() for face in body.faces]
    least = sum(face.minimumSizeHint().height() for face in body.faces)
    found = heights(body, sum(wished) - least)
    assert found == pytest.approx(wished, abs=1)
    assert found[1] >= price.least_with_rule()
