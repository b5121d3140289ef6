"""Rules of days and prices: the numbers that are drawn."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from shopclock.analysis.plan.rules import DaysRule, PricesRule, PromisedDay, ToldDay
from shopclock.screens.plan import rules
from shopclock.screens.plan.pages.promise import gathered
from shopclock.views.page import Body
from shopclock.views.rule_picture import Reach
from tests.screens.plan.plan_shop import order, press

if TYPE_CHECKING:
    from shopclock.screens.plan.presenter import PlanPresenter
    from tests.fake_dialogs import FakeDialogs
    from tests.record.on_disk import DiskShop

TODAY, HALF, LIKELY, SURER = (date(2026, 11, 26), date(2027, 2, 11), date(2027, 2, 18), date(2027, 2, 27))
TOLD = (ToldDay(HALF, "5 times in 10"), ToldDay(LIKELY, "8 times in 10", leads=True), ToldDay(SURER, "19 times in 20"))


def promised(who: str, day: date, *, holds: bool, gets_late: bool = False) -> PromisedDay:
    return PromisedDay(who, day, frozenset({1}), holds, gets_late)


def at(day: date) -> float:
    return float(day.toordinal())


def test_days_lie_from_today_on_thick_up_to_the_one_that_the_sentence_names() -> None:
    found = rules.days_picture(DaysRule(TODAY, TOLD, ()))
    assert found.first == at(TODAY)
    assert found.last > at(SURER)
    assert found.reaches == (Reach(at(HALF), at(LIKELY)), Reach(at(LIKELY), at(SURER), thin=True))
    assert [(mark.at, mark.text, mark.strong) for mark in found.posts] == [
        (at(LIKELY), "18 Feb, 8 times in 10", True),
        (at(HALF), "11 Feb, 5 times in 10", False),
        (at(SURER), "27 Feb, 19 times in 20", False),
        (at(TODAY), "today", False),
    ]
    assert [text for _, text in found.ticks] == ["Dec", "Jan 2027", "Feb", "Mar"]


def test_a_day_that_was_asked_for_leads() -> None:
    found = rules.days_picture(DaysRule(TODAY, TOLD, (), date(2027, 2, 20)))
    assert [(mark.text, mark.strong) for mark in found.posts[:2]] == [
        ("asked: 20 Feb", True),
        ("18 Feb, 8 times in 10", False),
    ]


def test_a_promised_day_says_who_and_whether_it_is_late_in_words_too() -> None:
    waiting = (
        promised("Orla, two doors down", date(2027, 1, 9), holds=False),
        promised("Brook", date(2027, 2, 13), holds=True),
        promised("Marrow", date(2027, 2, 20), holds=False, gets_late=True),
    )
    found = rules.days_picture(DaysRule(TODAY, TOLD, waiting))
    assert [(mark.text, mark.role) for mark in found.marks] == [
        ("Orla 9 Jan: late already", "red"),
        ("Marrow 20 Feb: gets late by it", "red"),
        ("Brook 13 Feb", "green"),
    ]


def test_a_promise_far_off_or_gone_by_stands_at_the_end_and_says_so() -> None:
    """The rule would shrink to nothing for a promise of next year."""
    waiting = (promised("Orla", date(2026, 11, 1), holds=False), promised("Brook", date(2029, 1, 1), holds=True))
    found = rules.days_picture(DaysRule(TODAY, TOLD, waiting))
    assert [(mark.at, mark.text) for mark in found.marks] == [
        (found.first, "Orla 1 Nov gone by: late already"),
        (found.last, "Brook 1 Jan later on"),
    ]
    assert found.last < at(date(2027, 6, 1))


def test_a_short_rule_has_mondays() -> None:
    found = rules.days_picture(DaysRule(TODAY, (ToldDay(date(2026, 12, 5), "8 times in 10", leads=True),), ()))
    assert [text for _, text in found.ticks] == ["30 Nov", "7 Dec"]


@pytest.mark.parametrize(
    ("asked", "role", "said"),
    [("59.04", "red", "asked EUR 59.04: too low"), ("70", "straw", "asked EUR 70"), ("79", "green", "asked EUR 79")],
)
def test_what_is_asked_is_told_beside_what_pays(asked: str, role: str, said: str) -> None:
    prices = PricesRule(Decimal("67.66"), Decimal("78.28"), Decimal("80.40"), Decimal(asked), "EUR")
    found = rules.prices_picture(prices, "Price of one", lambda amount, currency: f"{currency} {amount}")
    assert [(mark.text, mark.role) for mark in found.marks] == [(said, role)]
    assert found.reaches == (Reach(67.66, 78.28), Reach(78.28, 80.40, thin=True))
    assert found.first < min(67.66, float(asked))
    assert found.last > 80.40


def test_notes_stand_together_as_far_as_two_lines_hold_them_and_none_is_lost() -> None:
    notes = ("a" * 100, "b" * 60, "c" * 9, "d" * 200)
    assert gathered(notes) == [f"{notes[0]} {notes[1]}", notes[2], notes[3]]
    assert " ".join(gathered(notes)) == " ".join(notes)
    assert gathered(()) == []


def test_a_promise_keeps_its_room_before_it_is_told(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    """Two rules and four tiles, before the answer and after it: nothing moves under the finger."""
    press(plan, dialogs, "promise")
    press(plan, dialogs, "wanted", "2")
    state = plan.state()
    assert state.body is Body.RULE
    assert (len(state.rules), len(state.tiles)) == (2, 4)
    assert {post.text for post in state.rules[0].posts} >= {"today"}
    assert "pays" in state.rules[1].heading
    empty = rules.days_picture(None)
    assert (empty.over, empty.under) == (state.rules[0].over, state.rules[0].under)


def test_each_batch_lies_on_one_rule_with_the_promises_of_its_pieces(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    shop.batches.append(shop.new_batch(4))
    order(plan, dialogs, shop)
    press(plan, dialogs, "day", "12")
    plan.home()
    press(plan, dialogs, "plan")
    state = plan.state()
    assert state.body is Body.RULED
    (scale,) = state.rules
    first, second = (tile.rule for tile in state.tiles)
    assert first is not None
    assert second is not None
    assert {(one.first, one.last) for one in (first, second)} == {(scale.first, scale.last)}
    assert [mark.text for mark in first.marks] == ["Brook 16 Jan later on"]
    assert not second.marks
    assert first.posts[0].at <= second.posts[0].at, "the one that is worked first is done first"
