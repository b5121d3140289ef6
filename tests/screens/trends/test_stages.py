"""All stages in one table: where the most is to be won, what is said at once, and the whole piece."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.trends.presenter import TrendsPresenter
from shopclock.screens.trends.state import StagesState, View
from shopclock.shop.figures.trend_rows import WHOLE
from shopclock.shop.values.entities import Stage
from tests.fake_dialogs import FakeDialogs
from tests.screens.trends.pages import now
from tests.screens.trends.test_presenter import Later

if TYPE_CHECKING:
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.shop.figures.trend_rows import TrendRow
    from tests.screens.trends.trend_shop import TrendShop

FALLING = [20.0, 17.6, 16.3, 15.2, 14.6, 14.1, 13.8, 13.3]


@pytest.fixture
def others(shop: TrendShop) -> list[Stage]:
    return [stage for stage in shop.record.floor.all(Stage) if not stage.shop_work and stage.id != shop.bevels.id][:2]


@pytest.fixture
def rows(shop: TrendShop, others: list[Stage]) -> list[TrendRow]:
    """The bevels get quicker, one stage varies a lot, one was done but once."""
    uneven = shop.rows([30.0, 31.0, 30.5, 22.0, 30.2, 29.8, 31.1, 30.6], None, stage_id=others[0].id)
    once = shop.rows([4.0], None, stage_id=others[1].id, complete=False)
    return [*shop.rows(FALLING, None), *uneven, *once]


def whole(shop: TrendShop) -> list[TrendRow]:
    return shop.rows([10 * m for m in FALLING], None, stage_id=WHOLE)


def make(shop: TrendShop, rows: list[TrendRow], whole_rows: list[TrendRow], work: WorkRunner) -> TrendsPresenter:
    presenter = TrendsPresenter(shop.record, FakeDialogs(), (lambda: rows, lambda: whole_rows), lambda *_: None, work)
    presenter.refresh()
    return presenter


def table(presenter: TrendsPresenter) -> list[dict[str, str]]:
    state = presenter.state()
    assert isinstance(state, StagesState)
    heads = [column.head for column in state.columns]
    return [dict(zip(heads, line.cells, strict=True)) for line in state.lines]


def test_the_stage_where_most_is_to_be_won_comes_first_and_is_said(
    shop: TrendShop, rows: list[TrendRow], others: list[Stage]
) -> None:
    presenter = make(shop, rows, whole(shop), AtOnce())
    state = presenter.state()
    assert isinstance(state, StagesState)
    lines = table(presenter)
    assert [line["Stage"] for line in lines] == [shop.bevels.name, others[0].name, others[1].name]
    assert state.sentence == f"Most is to be won at {shop.bevels.name}: {lines[0]['To be won']} min a blade."
    assert float(lines[1]["To be won"]) < 0.5, "one quick batch among slow ones is no promise"


def test_a_line_has_usual_best_change_share_and_what_is_to_be_won(shop: TrendShop, rows: list[TrendRow]) -> None:
    line = table(make(shop, rows, whole(shop), AtOnce()))[0]
    assert line["Best"] == "13.3"
    assert line["Getting faster?"] == "9 % quicker (7 to 12 %)"
    assert line["To be won"] == "1.2"
    assert line["Share of time"] == "34 %"


def test_a_stage_of_which_no_batch_counts_says_so(shop: TrendShop, rows: list[TrendRow]) -> None:
    assert "no batch counts yet" in table(make(shop, rows, [], AtOnce()))[-1].values()


def test_what_is_usual_is_there_at_once_and_the_rest_when_it_comes(shop: TrendShop, rows: list[TrendRow]) -> None:
    later = Later()
    presenter = make(shop, rows, [], later)
    first = presenter.state()
    assert isinstance(first, StagesState)
    assert first.more == "One moment: the stages are being compared."
    assert {"Usual": "14.0 to 16.6", "Last": "13.3"}.items() <= _bevels(presenter, shop).items()
    later.do(0)
    assert "To be won" in _bevels(presenter, shop)


def test_stages_stay_where_they_are_when_they_are_compared_and_are_sorted_for_who_comes_then(
    shop: TrendShop, rows: list[TrendRow], others: list[Stage]
) -> None:
    later = Later()
    presenter = make(shop, rows, whole(shop), later)
    first = [line["Stage"] for line in table(presenter)]
    later.do(0)
    state = presenter.state()
    assert isinstance(state, StagesState)
    assert [line["Stage"] for line in table(presenter)] == first
    assert [line.cells[0] for line in state.lines if line.told] == [shop.bevels.name]
    assert state.most is not None
    assert state.most.cells[0] == shop.bevels.name
    presenter.come()
    assert [line["Stage"] for line in table(presenter)] == [shop.bevels.name, others[0].name, others[1].name] != first
    anew = presenter.state()
    assert isinstance(anew, StagesState)
    assert anew.most is None


def _bevels(presenter: TrendsPresenter, shop: TrendShop) -> dict[str, str]:
    return next(line for line in table(presenter) if line["Stage"] == shop.bevels.name)


def test_a_comparison_that_fails_is_told_and_the_stages_can_still_be_opened(
    shop: TrendShop, rows: list[TrendRow]
) -> None:
    later = Later()
    presenter = make(shop, rows, [], later)
    later.asked[0][3](RuntimeError("the process is gone"))
    state = presenter.state()
    assert isinstance(state, StagesState)
    assert state.more == "The stages could not be compared. The record is as it was."
    assert len(state.lines) == 3


def test_the_whole_piece_can_be_looked_at_like_a_stage(shop: TrendShop, rows: list[TrendRow]) -> None:
    """9.47 %, by generalised least squares with a dense covariance, worked out apart.

    Over the likenesses 0 to 0.8, each by how much it is believed, the slope is −0.1446 (9.53 %; 7.9 to 11.1 %); at 0.3,
    the best alone, −0.1459. Drawn to the shop's −0.1044 (0.0128² against 0.0795²) it is −0.1435.
    """
    presenter = make(shop, rows, whole(shop), AtOnce())
    stages = presenter.state()
    assert isinstance(stages, StagesState)
    assert stages.whole == "The whole knife"
    presenter.press_stage(str(WHOLE))
    state = now(presenter)
    said = "The whole knife is getting faster: 9 % quicker each time the count doubles (8 to 11 %)."
    assert state.sentence == said
    assert "by knife count" in [text for _, text in state.views]
    assert state.picture is not None
    assert state.picture.unit.startswith("min a knife")
    assert state.picture.below == "knives so far"
    for view in View:
        presenter.press_view(view)
        assert "blade" not in now(presenter).sentence + now(presenter).more


def test_batches_of_which_nothing_finished_are_left_out_and_told(shop: TrendShop, rows: list[TrendRow]) -> None:
    lost = [replace(row, pieces=0) for row in whole(shop)]
    presenter = make(shop, rows, lost, AtOnce())
    presenter.press_stage(str(WHOLE))
    assert now(presenter).sentence == "The whole knife: no batch counts yet."
    assert now(presenter).line == "Left out: no knife came of it (8)."
    presenter.press_view(View.TABLE)
    assert now(presenter).table is None
    some = [*whole(shop)[:7], lost[7]]
    presenter = make(shop, rows, some, AtOnce())
    presenter.press_stage(str(WHOLE))
    assert now(presenter).line == "1 batch left out: no knife came of it."


def test_without_whole_batches_there_is_no_whole_piece_to_look_at(shop: TrendShop, rows: list[TrendRow]) -> None:
    state = make(shop, rows, [], AtOnce()).state()
    assert isinstance(state, StagesState)
    assert state.whole == ""
