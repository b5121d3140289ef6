"""What Trends says and does: nothing that isn't proved, and why something was left out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from shopclock.screens.trends.state import StagesState, View
from shopclock.shop.values.errors import ShopError
from tests.fake_dialogs import FakeDialogs
from tests.screens.trends.pages import now, page

if TYPE_CHECKING:
    from shopclock.shop.figures.trend_rows import TrendRow
    from tests.screens.trends.pages import Make
    from tests.screens.trends.trend_shop import TrendShop


def test_without_batches_it_says_so_and_offers_the_bench(make_presenter: Make, went: list) -> None:
    presenter = make_presenter([])
    assert presenter.state() == StagesState(
        "No batch is through a stage yet. Trends begin with the first.", to_bench=True
    )
    presenter.press_bench()
    assert went == [("bench",)]


def test_the_views_are_named_in_the_shops_words_and_set_up_is_one_only_where_it_is_known(
    make_presenter: Make, shop: TrendShop
) -> None:
    names = [text for _, text in page(make_presenter(shop.two_methods()), shop).views]
    assert names == ["by blade count", "by date", "batch after batch", "as a table", "how this was worked out"]
    pressed = shop.rows([20, 18, 17, 16, 15, 15], None, setup_us=360_000_000)
    assert "set-up" in [text for _, text in page(make_presenter(pressed), shop).views]


def test_a_mark_says_which_batch_it_is_and_offers_its_review(make_presenter: Make, shop: TrendShop, went: list) -> None:
    presenter = make_presenter(shop.two_methods())
    page(presenter, shop)
    key = f"{shop.batches[9].id}:{shop.freehand.id}:0"
    presenter.press_point(key)
    state = now(presenter)
    assert state.line == "25-10, Paring: 14.6 min a blade, 6 blades, freehand, 20 Mar 2025."
    assert state.review == "Review 25-10"
    presenter.press_review()
    presenter.press_point(key)
    assert went == [("review", shop.batches[9].id)] * 2


def test_a_mark_of_another_pattern_says_what_was_timed_and_where_it_stands(
    make_presenter: Make, shop: TrendShop
) -> None:
    presenter = make_presenter(shop.two_methods())
    page(presenter, shop)
    presenter.press_point(f"{shop.batches[0].id}:{shop.freehand.id}:0")
    assert now(presenter).line.startswith(
        "25-01, Oyster: 29.0 min a blade, 6 blades, freehand, 16 Jan 2025. As Paring: "
    )


def test_a_mark_left_out_says_why(make_presenter: Make, shop: TrendShop) -> None:
    presenter = make_presenter(shop.two_methods())
    page(presenter, shop)
    presenter.press_point(f"{shop.batches[5].id}:{shop.freehand.id}:0")
    assert "Left out: more than a fifth guessed." in now(presenter).line


def test_how_many_were_left_out_and_why_is_said_under_the_chart(make_presenter: Make, shop: TrendShop) -> None:
    assert page(make_presenter(shop.two_methods()), shop).line == (
        "2 batches left out: not all blades through (1), more than a fifth guessed (1)."
    )
    whole = page(make_presenter(shop.rows([12.0] * 8, None)), shop)
    assert whole.line == "Press a mark to see which batch it is."


def test_a_mark_that_is_gone_is_no_longer_chosen(make_presenter: Make, shop: TrendShop) -> None:
    rows = shop.two_methods()
    presenter = make_presenter(rows)
    page(presenter, shop)
    presenter.press_point(f"{shop.batches[5].id}:{shop.freehand.id}:0")
    del rows[1:]
    presenter.refresh()
    assert now(presenter).review == ""


def test_back_goes_from_a_stage_to_the_stages_and_no_further(make_presenter: Make, shop: TrendShop) -> None:
    presenter = make_presenter(shop.two_methods())
    page(presenter, shop)
    assert presenter.press_back()
    assert isinstance(presenter.state(), StagesState)
    assert not presenter.press_back()


def test_the_table_has_every_batch_newest_first_with_its_place_in_the_count(
    make_presenter: Make, shop: TrendShop
) -> None:
    rows = shop.rows([14.0, 13.0, 12.0, 11.0], None, setup_us=6 * 60_000_000)
    table = page(make_presenter(rows), shop, View.TABLE).table
    assert table is not None
    heads = [column.head for column in table.columns]
    lines = [dict(zip(heads, row.cells, strict=True)) for row in table.rows]
    assert [line["Batch"] for line in lines] == ["25-04", "25-03", "25-02", "25-01"]
    assert [line["Count"] for line in lines] == ["19 to 24", "13 to 18", "7 to 12", "1 to 6"]
    assert lines[0] == {
        "Batch": "25-04",
        "Pattern": "Paring",
        "Date": "6 Feb 2025",
        "Blades": "6",
        "Count": "19 to 24",
        "Min a blade": "11.0",
        "Expected": lines[0]["Expected"],
        "Set-up": "6.0",
        "Rework": "–",
        "Left out": "",
    }


def test_how_it_was_worked_out_names_rows_formula_figures_and_sources(make_presenter: Make, shop: TrendShop) -> None:
    """The verdict by generalised least squares with a dense covariance, worked out apart, over all likenesses.

    −0.1960 with standard error 0.0275: 83.8 to 90.9 %; drawn to the shop's −0.0913 it is −0.1844, 88.0 %.
    """
    facts = {fact.name: fact.text for fact in page(make_presenter(shop.two_methods()), shop, View.HOW).facts}
    assert facts["Went in"] == (
        "14 of 16 batches, 84 blades. Left out: not all blades through (1), more than a fifth guessed (1). "
        "They count as made all the same."
    )
    assert facts["Verdict"].startswith("88.0 % is left when the count doubles; of this stage alone 95 %: 83.8 to 90.9")
    assert facts["This stage alone"].startswith(
        "b = -0.2046; 86.8 % is left when the count doubles (95 %: 84.1 to 89.6)."
    )
    assert "Crawford" in facts["Sources"]


def test_the_running_average_can_be_asked_for_and_the_screen_says_which_is_shown(
    make_presenter: Make, shop: TrendShop
) -> None:
    presenter = make_presenter(shop.two_methods())
    page(presenter, shop, View.HOW)
    presenter.press_option("average")
    state = now(presenter)
    assert state.view is View.COUNT
    assert state.sentence == "Freehand: the average of all so far gets 11 % quicker each time the count doubles."
    assert state.picture is not None
    assert state.picture.below == "blades so far, the average of all up to there"
    presenter.press_view(View.HOW)
    facts = {fact.name: fact.text for fact in now(presenter).facts}
    assert "Wright" in facts["Sources"]
    assert "the running average of all so far" in facts["Shown"]


def test_another_method_can_be_asked_about(make_presenter: Make, shop: TrendShop) -> None:
    presenter = make_presenter(shop.two_methods())
    assert "about jig" in dict(page(presenter, shop).options).values()
    presenter.press_option("method")
    assert now(presenter).sentence.startswith("Jig: can't tell yet whether it gets quicker (")


OPEN = "Freehand has got quicker; whether little by little, at once or until a while ago can't be told yet."


class Later:
    """Long work that is done when it is told to."""

    def __init__(self) -> None:
        self.asked: list[tuple] = []

    def run(self, *what: Any) -> None:
        self.asked.append(what)

    def do(self, number: int) -> None:
        task, arguments, then, _ = self.asked[number]
        then(task(*arguments))

    def close(self) -> None:
        pass


@pytest.fixture
def later() -> Later:
    return Later()


def make_later(shop: TrendShop, rows: list[TrendRow], later: Later) -> Any:
    from shopclock.screens.trends.presenter import TrendsPresenter

    presenter = TrendsPresenter(shop.record, FakeDialogs(), (lambda: rows, list), lambda *_: None, later)
    presenter.refresh()
    return presenter


def test_what_is_usual_is_said_at_once_and_the_rest_comes_later(shop: TrendShop, later: Later) -> None:
    presenter = make_later(shop, shop.two_methods(), later)
    heard: list[str] = []
    presenter.on_change(lambda: heard.append(now(presenter).sentence))
    first = page(presenter, shop)
    assert first.sentence == "Grind bevels: usual 15.1 to 16.7, last 15.0."
    assert first.line == "One moment: 16 batches of Grind bevels are being worked out."
    later.do(1)
    assert heard == [OPEN]


def test_nothing_is_worked_out_twice_for_the_same_rows(shop: TrendShop, later: Later) -> None:
    presenter = make_later(shop, shop.two_methods(), later)
    page(presenter, shop)
    presenter.refresh()
    presenter.press_view(View.DATES)
    assert len(later.asked) == 2, "the stages, then the bevels"


def test_an_answer_that_comes_after_it_was_left_is_not_shown(shop: TrendShop, later: Later) -> None:
    rows = shop.two_methods()
    presenter = make_later(shop, rows, later)
    page(presenter, shop)
    presenter.press_back()
    later.do(1)
    assert isinstance(presenter.state(), StagesState)
    page(presenter, shop)
    del rows[20:]
    presenter.refresh()
    later.do(2)
    assert now(presenter).line.startswith("One moment")
    later.do(3)
    assert now(presenter).picture is not None


def test_work_that_fails_is_told_in_a_sentence(shop: TrendShop, later: Later) -> None:
    presenter = make_later(shop, shop.two_methods(), later)
    page(presenter, shop)
    later.asked[1][3](RuntimeError("the process is gone"))
    assert now(presenter).line == (
        "Grind bevels could not be worked out. The record is as it was; its figures are in Review."
    )


def test_a_record_that_cannot_be_read_is_told_and_what_was_shown_stays(shop: TrendShop, later: Later) -> None:
    from shopclock.screens.trends.presenter import TrendsPresenter

    dialogs = FakeDialogs()
    answers: list[list[TrendRow] | None] = [shop.two_methods(), None]

    def read() -> list[TrendRow]:
        rows = answers.pop(0)
        if rows is None:
            raise ShopError("The disk could not be read. Nothing was changed.")
        return rows

    presenter = TrendsPresenter(shop.record, dialogs, (read, list), lambda *_: None, later)
    presenter.refresh()
    before = presenter.state()
    presenter.refresh()
    assert presenter.state() == before
    assert [asked.words for asked in dialogs.asked] == ["The disk could not be read. Nothing was changed."]
