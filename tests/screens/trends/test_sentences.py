"""The answer in one sentence, and the quieter one: only what is proved, and no figure that isn't one."""

from __future__ import annotations

import math
from dataclasses import astuple, replace
from typing import TYPE_CHECKING

import pytest

from shopclock.analysis.learning.stage_trend import stage_trend
from shopclock.screens.trends.state import StageState, View
from tests.screens.trends.pages import now, page

if TYPE_CHECKING:
    from shopclock.shop.figures.trend_rows import TrendRow
    from tests.screens.trends.pages import Make
    from tests.screens.trends.trend_shop import TrendShop

FALLING = [29.0, 24.1, 24.4, 21.0, 18.7, 17.9, 17.8, 16.6, 16.9, 15.6, 16.2, 15.7]
JIG_AT_FIRST = [18.0, 18.4, 17.7, 18.1, 18.2, 17.9]


def passing(shop: TrendShop) -> list[TrendRow]:
    """The jig first and flat, then freehand, which passes it."""
    return [*shop.rows(JIG_AT_FIRST, shop.jig.id), *shop.rows([None] * 2 + FALLING, shop.freehand.id)]


def test_it_says_how_much_quicker_and_where_it_passed_the_other(make_presenter: Make, shop: TrendShop) -> None:
    state = page(make_presenter(passing(shop)), shop)
    assert state.sentence == "Freehand gets 13 % quicker each time the count doubles (11 to 16 %)."
    assert state.more == (
        "Grind bevels: it passed jig at its 37th blade (32 to 44), in batch 25-09. Jig is flat. "
        "Next batch of 6 Paring: 15 min a blade, 14 to 17."
    )


def test_asked_about_the_other_method_it_says_the_same_from_there(make_presenter: Make, shop: TrendShop) -> None:
    presenter = make_presenter(passing(shop))
    page(presenter, shop)
    presenter.press_option("method")
    assert now(presenter).sentence == "Jig shows no clear change: 18 min a blade (18 to 19)."
    assert now(presenter).more.startswith(
        "Grind bevels: freehand passed it at its 37th blade (32 to 44), in batch 25-09."
    )


def test_two_flat_methods_are_told_apart_by_their_minutes_and_do_not_cross(
    make_presenter: Make, shop: TrendShop
) -> None:
    rows = [*shop.rows([20, 20.4, 19.8, 20.1, 20.2, 19.9], shop.jig.id), *_flat(shop, 16.0)]
    state = page(make_presenter(rows), shop)
    assert "it takes 20 % less than jig" in state.more
    assert state.picture is not None
    assert state.picture.uprights == ()
    alike = [*shop.rows([20, 20.4, 19.8, 20.1, 20.2, 19.9], shop.jig.id), *_flat(shop, 20.0)]
    assert "it takes about as long as jig" in page(make_presenter(alike), shop).more


def _flat(shop: TrendShop, minutes: float) -> list[TrendRow]:
    return shop.rows([None] * 6 + [minutes + d for d in (0, 0.2, -0.2, 0.1, -0.1, 0.0)], shop.freehand.id)


@pytest.mark.parametrize(("n", "said"), [(1, "(0 of 5)"), (3, "(2 of 5)"), (5, "(5 of 6)")])
def test_below_its_number_of_batches_there_is_no_rate_and_no_forecast(
    make_presenter: Make, shop: TrendShop, n: int, said: str
) -> None:
    presenter = make_presenter(shop.rows([12.0 + i for i in range(n)], None))
    state = page(presenter, shop)
    assert state.sentence == f"Not enough batches yet {said} to tell whether Grind bevels gets quicker."
    assert state.picture is not None
    assert state.picture.ahead is None
    assert [series.band for series in state.picture.series] == [None]
    presenter.press_view(View.AFTER)
    assert now(presenter).sentence.startswith("Not enough batches yet")


def test_by_date_it_says_minutes_a_year_or_a_month_and_what_the_count_says(
    make_presenter: Make, shop: TrendShop
) -> None:
    state = page(make_presenter(passing(shop)), shop, View.DATES)
    assert state.sentence == "Freehand takes 4.2 min a blade less each month (1.8 to 6.1)."
    assert state.more.startswith("Grind bevels: by count it gets 13 % quicker each time")


def test_a_batch_beyond_three_sigma_is_told_in_words(make_presenter: Make, shop: TrendShop) -> None:
    minutes = [16.0 + d for d in (0, 0.2, -0.2, 0.1, -0.1, 0, 0.2, 12.0, 0.1, -0.1, 0.2, 0.1, -0.2, 0.1)]
    state = page(make_presenter(shop.rows(minutes, None)), shop, View.AFTER)
    assert state.sentence.startswith("25-08 was out of the ordinary: 28.0 min a blade, not ")


def test_set_up_says_what_it_is_a_batch_and_a_piece(make_presenter: Make, shop: TrendShop) -> None:
    rows = shop.rows([20, 18, 17, 16, 15, 15], None, setup_us=360_000_000)
    assert page(make_presenter(rows), shop, View.SIZES).sentence == (
        "Set-up takes 6.0 min a batch (6.0 to 6.0): 1.0 min a blade in a batch of 6, 0.5 in 12."
    )


def rough(shop: TrendShop) -> dict[str, list[TrendRow]]:
    """Rows that give trouble."""
    one = [replace(shop.row(i, 12.0, None), pieces=1, run_us=720_000_000) for i in range(8)]
    return {
        "one batch": shop.rows([12.0], None),
        "identical": shop.rows([12.0] * 9, None),
        "no time": shop.rows([0.0] * 9, None),
        "batches of one": one,
        "open": [shop.row(0, 12.0, None, complete=False)],
        "several methods": [shop.row(i, 12.0, None, mixed=True) for i in range(6)],
        "guessed": [shop.row(i, 12.0, None, estimated_us=10**12) for i in range(6)],
        "one method once": [*shop.rows(FALLING, shop.freehand.id), shop.row(13, 12.0, shop.jig.id)],
        "wild": shop.rows([1e-6, 1e6] * 6, None),
        "crowd": [row for row in shop.two_methods() if row.batch_id % 2],
    }


@pytest.mark.parametrize(
    "name",
    ["one batch", "identical", "no time", "batches of one", "open", "several methods", "guessed", "one method once",
     "wild", "crowd"],
)  # fmt: skip
def test_bad_input_gives_an_answer_or_a_sentence_in_every_view(
    make_presenter: Make, shop: TrendShop, name: str
) -> None:
    presenter = make_presenter(rough(shop)[name])
    page(presenter, shop)
    for view in View:
        presenter.press_view(view)
        for key in ("own", "pattern", "average", "method", "own"):
            presenter.press_option(key)
            _sound(now(presenter))


def _sound(state: StageState) -> None:
    assert state.sentence.endswith(".")
    said = [state.sentence, state.more, state.line, *(fact.text for fact in state.facts)]
    said += [cell for row in (state.table.rows if state.table else ()) for cell in row.cells]
    assert not [text for text in said if "nan" in text.lower().split() or "inf" in text.lower().split()]
    for number in _numbers(state):
        assert math.isfinite(number)


def _numbers(state: StageState) -> list[float]:
    def walk(values: object) -> list[float]:
        if isinstance(values, tuple):
            return [number for value in values for number in walk(value)]
        return [values] if isinstance(values, float) else []

    return walk(astuple(state.picture)) if state.picture else []


def test_set_up_stands_with_run_where_only_some_pressed_it(make_presenter: Make, shop: TrendShop) -> None:
    rows = [
        *shop.rows([20, 18, 17], None),
        *shop.rows([None] * 3 + [15.0, 14.0, 13.5, 13.0], None, setup_us=360_000_000),
    ]
    state = page(make_presenter(rows), shop)
    assert stage_trend(rows, shop.bevels.id).with_setup
    assert state.picture is not None
    assert state.picture.unit.startswith("min a blade, set-up in it")
    newest = state.picture.series[0].dots[-1]
    assert newest.y == pytest.approx(14.0)
