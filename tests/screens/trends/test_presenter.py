"""What Trends says: nothing that isn't proved, and why something was left out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.trends.state import StagesState, StageState, View
from shopclock.shop.errors import ShopError
from shopclock.shop.stage_rows import usual

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.trends.presenter import TrendsPresenter
    from shopclock.shop.stage_rows import StageRow
    from shopclock.widgets.fake_dialogs import FakeDialogs
    from tests.screens.trends.trend_shop import TrendShop

    Make = Callable[[list[StageRow]], TrendsPresenter]


def page(presenter: TrendsPresenter, shop: TrendShop) -> StageState:
    presenter.press_stage(str(shop.bevels.id))
    state = presenter.state()
    assert isinstance(state, StageState)
    return state


def test_the_stages_that_batches_went_through_can_be_chosen(make_presenter: Make, shop: TrendShop) -> None:
    state = make_presenter(shop.two_methods()).state()
    assert isinstance(state, StagesState)
    assert state.sentence == "Minutes a blade, stage by stage"
    assert [(t.name, t.usual, t.last) for t in state.tiles] == [
        (shop.bevels.name, "usual 15.1 to 16.7", "last 15.0, freehand")
    ]


def test_a_tile_means_the_method_worked_last(make_presenter: Make, shop: TrendShop) -> None:
    rows = [*shop.rows([20.0] * 4, shop.freehand.id), *shop.rows([None] * 5 + [18.0] * 4, shop.jig.id)]
    state = make_presenter(rows).state()
    assert isinstance(state, StagesState)
    assert (state.tiles[0].usual, state.tiles[0].last) == ("usual 18.0", "last 18.0, jig")


def test_without_batches_it_says_so_and_offers_the_bench(make_presenter: Make, went: list[str]) -> None:
    presenter = make_presenter([])
    assert presenter.state() == StagesState(
        "No batch is through a stage yet. Trends begin with the first.", (), to_bench=True
    )
    presenter.press_bench()
    assert went == ["bench"]


def test_the_sentence_has_its_figures_in_it(make_presenter: Make, shop: TrendShop) -> None:
    state = page(make_presenter(shop.two_methods()), shop)
    name = shop.bevels.name
    assert state.sentence == f"{name}, freehand: usual 15.1 to 16.7 min a blade over the last 8 batches; last 15.0."
    assert state.more == (
        "Jig: usual 17.9 to 19.1, last 18.3. "
        "2 batches left out: not all blades through (1), more than a fifth guessed (1)."
    )


def test_the_figures_said_are_those_of_the_shops_one_rule(make_presenter: Make, shop: TrendShop) -> None:
    rows = shop.two_methods()
    found = usual(rows, shop.bevels.id, shop.freehand.id, None)
    assert found is not None
    assert found.low_min is not None
    assert f"{found.low_min:.1f} to {found.high_min:.1f}" in page(make_presenter(rows), shop).sentence


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        ([12.0], "not enough batches yet (1 of 4); last 12.0 min a blade."),
        ([12.0, 13.0, 14.5], "not enough batches yet (3 of 4); last 14.5 min a blade."),
        ([12.0, 13.0, 14.0, 15.0], "usual 12.8 to 14.2 min a blade over 4 batches; last 15.0."),
    ],
)
def test_under_four_batches_there_is_no_usual(
    make_presenter: Make, shop: TrendShop, minutes: list[float], said: str
) -> None:
    state = page(make_presenter(shop.rows(minutes, None)), shop)
    assert state.sentence == f"{shop.bevels.name}: {said}"
    assert state.chart is not None
    assert len(state.chart.lines[0].points) == len(minutes)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"complete": False}, "not all blades through"),
        ({"mixed": True}, "several methods on one blade"),
        ({"estimated_us": 10**12}, "more than a fifth guessed"),
        ({"shared_us": 1}, "done beside other work"),
    ],
)
def test_where_no_batch_counts_it_says_why_and_still_shows_them(
    make_presenter: Make, shop: TrendShop, change: dict, why: str
) -> None:
    state = page(make_presenter([shop.row(0, 12.0, None, **change)]), shop)
    named = f"{shop.bevels.name}, several methods" if "mixed" in change else shop.bevels.name
    assert state.sentence == f"{named}: no batch counts yet."
    assert state.more == f"1 batch left out: {why}."
    assert state.chart is not None
    assert [point.hollow for point in state.chart.lines[0].points] == [True]
    assert state.table.rows[0].cells[-1] == why


def test_a_point_says_which_batch_it_is(make_presenter: Make, shop: TrendShop) -> None:
    presenter = make_presenter(shop.two_methods())
    page(presenter, shop)
    presenter.press_point(f"{shop.batches[9].id}:{shop.freehand.id}:0")
    state = presenter.state()
    assert isinstance(state, StageState)
    assert state.line == "25-10, Paring: 14.6 min a blade, 6 blades, freehand, Thu 20 Mar 2025."
    presenter.press_point(state.chosen)
    again = presenter.state()
    assert isinstance(again, StageState)
    assert (again.chosen, again.line) == ("", "Press a mark to see which batch it is. Hollow ones are left out.")


def test_a_point_left_out_says_why(make_presenter: Make, shop: TrendShop) -> None:
    presenter = make_presenter(shop.two_methods())
    page(presenter, shop)
    presenter.press_point(f"{shop.batches[5].id}:{shop.freehand.id}:0")
    state = presenter.state()
    assert isinstance(state, StageState)
    assert state.line.endswith("Left out: more than a fifth guessed.")


def test_a_point_that_is_gone_is_no_longer_chosen(make_presenter: Make, shop: TrendShop) -> None:
    rows = shop.two_methods()
    presenter = make_presenter(rows)
    page(presenter, shop)
    presenter.press_point(f"{shop.batches[5].id}:{shop.freehand.id}:0")
    del rows[1:]
    presenter.refresh()
    state = presenter.state()
    assert isinstance(state, StageState)
    assert state.chosen == ""


def test_back_goes_from_a_stage_to_the_stages_and_no_further(make_presenter: Make, shop: TrendShop) -> None:
    presenter = make_presenter(shop.two_methods())
    page(presenter, shop)
    assert presenter.press_back()
    assert isinstance(presenter.state(), StagesState)
    assert not presenter.press_back()


def test_the_table_has_every_batch_newest_first_with_its_place_in_the_count(
    make_presenter: Make, shop: TrendShop
) -> None:
    presenter = make_presenter(shop.rows([14.0, 13.0, 12.0, 11.0], None, setup_us=6 * 60_000_000))
    page(presenter, shop)
    presenter.press_view(View.TABLE)
    state = presenter.state()
    assert isinstance(state, StageState)
    assert state.chart is None
    heads = [column.head for column in state.table.columns]
    rows = [dict(zip(heads, row.cells, strict=True)) for row in state.table.rows]
    assert [row["Batch"] for row in rows] == ["25-04", "25-03", "25-02", "25-01"]
    assert [row["Count"] for row in rows] == ["19 to 24", "13 to 18", "7 to 12", "1 to 6"]
    assert rows[0] == {
        "Batch": "25-04",
        "Pattern": "Paring",
        "Date": "Thu 6 Feb 2025",
        "Blades": "6",
        "Count": "19 to 24",
        "Min a blade": "11.0",
        "Set-up min": "6.0",
        "Rework min": "–",
        "Left out": "",
    }


def test_a_record_that_cannot_be_read_is_told_and_what_was_shown_stays(shop: TrendShop, dialogs: FakeDialogs) -> None:
    from shopclock.screens.trends.presenter import TrendsPresenter

    answers: list[list[StageRow] | None] = [shop.two_methods(), None]

    def read() -> list[StageRow]:
        rows = answers.pop(0)
        if rows is None:
            raise ShopError("The disk could not be read. Nothing was changed.")
        return rows

    presenter = TrendsPresenter(shop.record, dialogs, read, lambda _tab: None)
    presenter.refresh()
    before = presenter.state()
    presenter.refresh()
    assert presenter.state() == before
    assert [asked.words for asked in dialogs.asked] == ["The disk could not be read. Nothing was changed."]
