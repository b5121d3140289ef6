"""The answer in one sentence, and the quieter one: only what is proved, and no figure that isn't one."""

from __future__ import annotations

import math
import re
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
    assert state.sentence == "Freehand is getting faster: 12 % quicker each time the count doubles (10 to 15 %)."
    assert state.more == (
        "Grind bevels: the next ten blades take 0.2 min less each. "
        "Freehand passed jig at its 37th blade (30 to 48), in batch 25-09. Jig: about as long. "
        "Next batch of 6 Paring: 16 min a blade, 14 to 17, 8 times in 10. Ranges in brackets hold 19 times in 20."
    )


def test_asked_about_the_other_method_it_says_the_same_from_there(make_presenter: Make, shop: TrendShop) -> None:
    presenter = make_presenter(passing(shop))
    page(presenter, shop)
    presenter.press_option("method")
    assert now(presenter).sentence.startswith("Jig takes about as long as before (")
    assert "freehand passed jig at its 37th blade (30 to 48), in batch 25-09." in now(presenter).more


def test_two_flat_methods_are_told_apart_by_their_minutes_and_do_not_cross(
    make_presenter: Make, shop: TrendShop
) -> None:
    rows = [*shop.rows([20, 20.4, 19.8, 20.1, 20.2, 19.9], shop.jig.id), *_flat(shop, 16.0)]
    state = page(make_presenter(rows), shop)
    assert "reehand takes 20 % less than jig (18 to 23 %)" in state.more
    assert state.picture is not None
    assert state.picture.uprights == ()
    alike = [*shop.rows([20, 20.4, 19.8, 20.1, 20.2, 19.9], shop.jig.id), *_flat(shop, 20.0)]
    assert "reehand and jig take about as long" in page(make_presenter(alike), shop).more


def test_what_cannot_be_told_is_never_called_about_as_long(make_presenter: Make, shop: TrendShop) -> None:
    """Freehand a seventh slower among batches that waver by a third: neither that nor "about as long" is known."""
    jig = [18.0, 25.0, 14.0, 24.0, 16.0, 20.0]
    rows = [
        *shop.rows(jig, shop.jig.id),
        *shop.rows([None] * 6 + [1.15 * m for m in (16, 24, 18, 14, 25, 20)], shop.freehand.id),
    ]
    state = page(make_presenter(rows), shop)
    assert state.sentence.startswith("Freehand: can't tell yet whether it gets quicker (")
    assert "hich is quicker, freehand or jig, can't be told yet (freehand takes " in state.more
    assert "about as long" not in state.more


def test_a_crossing_whose_end_is_out_of_sight_says_perhaps_never(make_presenter: Make, shop: TrendShop) -> None:
    slow = [None] * 4 + [30.0, 26.0, 27.0, 22.5, 23.5, 20.5, 21.5, 19.5]
    rows = [*shop.rows(JIG_AT_FIRST, shop.jig.id), *shop.rows(slow, shop.freehand.id)]
    state = page(make_presenter(rows), shop)
    assert "reehand passes jig from its " in state.more
    assert " blade on, perhaps never" in state.more
    assert state.picture is not None
    assert state.picture.uprights == (), "no place is drawn that isn't told"


def test_what_rests_on_one_batch_names_it(make_presenter: Make, shop: TrendShop) -> None:
    rows = shop.rows([26.0, 17.6, 17.9, 17.2, 17.8, 17.1, 17.5], None)
    state = page(make_presenter(rows), shop)
    assert "25-01 alone; since then no clear change." in state.sentence


def test_a_step_names_the_batch_it_came_with(make_presenter: Make, shop: TrendShop) -> None:
    rows = shop.rows([20, 20.3, 19.8, 20.1, 20.2, 19.7, 20.0, 15.1, 14.9, 15.2, 15.0, 14.8, 15.1, 15.0], None)
    state = page(make_presenter(rows), shop)
    assert state.sentence == "Grind bevels is quicker by 25 % since 25-08."


def _flat(shop: TrendShop, minutes: float) -> list[TrendRow]:
    return shop.rows([None] * 6 + [minutes + d for d in (0, 0.2, -0.2, 0.1, -0.1, 0.0)], shop.freehand.id)


@pytest.mark.parametrize("view", list(View))
def test_how_sure_a_bracket_is_stands_once_on_each_page_that_has_one(
    make_presenter: Make, shop: TrendShop, view: View
) -> None:
    state = page(make_presenter(passing(shop)), shop, view)
    said = f"{state.sentence} {state.more}"
    ranges = re.findall(r"\(\d[^()]* to [^()]*\)", said)
    assert said.count("19 times in 20") == bool(ranges)
    assert ranges or view is not View.COUNT, "there is one where the change is told"
    if state.picture is not None and state.picture.ahead is not None:
        assert "(" not in state.picture.ahead.text, "on the chart a bracket would be read the same"


@pytest.mark.parametrize(("n", "said"), [(1, "(1 of 4)"), (3, "(3 of 4)")])
def test_below_four_batches_there_is_no_verdict_but_the_next_batch_is_told(
    make_presenter: Make, shop: TrendShop, n: int, said: str
) -> None:
    presenter = make_presenter(shop.rows([12.0 + i for i in range(n)], None))
    state = page(presenter, shop)
    assert state.sentence == f"Not enough batches yet {said} to tell whether Grind bevels gets quicker."
    assert "ext batch of 6" in state.more
    assert state.picture is not None
    assert state.picture.ahead is not None
    assert state.picture.series[0].band is not None
    presenter.press_view(View.DATES)
    assert now(presenter).sentence.startswith("Not enough batches yet")


def test_by_date_it_says_from_what_to_what_in_the_time_that_was_seen(make_presenter: Make, shop: TrendShop) -> None:
    state = page(make_presenter(passing(shop)), shop, View.DATES)
    assert state.sentence == ("By date freehand went from 23.4 to 13.5 min a blade (10.5 to 17.8) in 11 weeks.")
    assert state.more == ("Grind bevels: by count: 12 % quicker (10 to 15 %). Ranges in brackets hold 19 times in 20.")


def test_a_batch_out_of_the_ordinary_is_told_in_words(make_presenter: Make, shop: TrendShop) -> None:
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
