"""A pattern's route: steps added, removed, moved, repeated, changed; order rules."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.shop.setup.patterns import newest_route, route_rules, route_steps
from shopclock.shop.values.entities import Tool
from shopclock.shop.values.kinds import Kind, RuleKind
from tests.screens.batches.reading import press, tile, titles

if TYPE_CHECKING:
    from shopclock.screens.shop.presenter import ShopPresenter
    from shopclock.shop.values.entities import Pattern, RouteStep
    from tests.fake_dialogs import FakeDialogs
    from tests.screens.batches.story import Shop

HOUR_US = 3_600_000_000


@pytest.fixture
def opened(presenter: ShopPresenter, pattern: Pattern) -> ShopPresenter:
    press(presenter, "Patterns", pattern.name)
    return presenter


def steps(shop: Shop, pattern: Pattern) -> tuple[RouteStep, ...]:
    return route_steps(shop.floor, newest_route(shop.floor, pattern))


def names(shop: Shop, pattern: Pattern) -> list[str]:
    return [step.name for step in steps(shop, pattern)]


def test_a_step_moves_down_and_up_and_stops_at_the_ends(shop: Shop, opened: ShopPresenter, pattern: Pattern) -> None:
    press(opened, "1  Saw out")
    assert not tile(opened, "Move up").enabled
    press(opened, "Move down", "Move down")
    assert names(shop, pattern)[:3] == ["Profile", "Drill holes", "Saw out"]
    assert opened.state().title == "Step 3: Saw out"
    press(opened, "Move up")
    assert names(shop, pattern)[:3] == ["Profile", "Saw out", "Drill holes"]


def test_a_length_says_that_it_is_common_practice_until_the_maker_sets_his_own(
    shop: Shop, opened: ShopPresenter, pattern: Pattern, dialogs: FakeDialogs
) -> None:
    press(opened, "6  Temper 1")
    assert tile(opened, "Lasts").detail == "2 h · common practice, no source"
    dialogs.answers = ["length", "minutes", "90"]
    press(opened, "Lasts")
    assert "common practice" not in tile(opened, "Lasts").detail
    assert not steps(shop, pattern)[5].common_practice
    assert steps(shop, pattern)[6].common_practice


def test_a_cure_follows_the_shops_warmth_between_its_makers_own_limits(
    shop: Shop, opened: ShopPresenter, pattern: Pattern, dialogs: FakeDialogs
) -> None:
    cure = next(step for step in steps(shop, pattern) if step.name == "Cure")
    press(opened, f"{cure.position + 1}  Cure")
    assert tile(opened, "Shop's warmth").detail == "followed, 10 to 35 °C"
    assert any("The leaflet of the resin's makers decides" in line.text for line in opened.state().lines)
    dialogs.answers = ["follows", "15", "86"]
    press(opened, "Shop's warmth")
    assert [asked.start for asked in dialogs.asked[-2:]] == ["10", "35"]
    assert tile(opened, "Shop's warmth").detail == "followed, 15 to 30 °C"
    own = steps(shop, pattern)[cure.position]
    assert (own.coldest_c, own.warmest_c, own.common_practice) == (15, 30, False)
    dialogs.answers = ["follows", "30", "20"]
    press(opened, "Shop's warmth")
    assert dialogs.asked[-1].words == "30 °C is warmer than 20 °C. Nothing was changed."
    dialogs.answers = ["no"]
    press(opened, "Shop's warmth")
    assert tile(opened, "Shop's warmth").detail == "not followed"
    assert not any("leaflet" in line.text for line in opened.state().lines)


def test_what_has_a_heat_of_its_own_is_not_asked_about_the_shops(opened: ShopPresenter) -> None:
    press(opened, "6  Temper 1")
    assert "Shop's warmth" not in titles(opened)


def test_a_repeated_step_comes_right_after_it(shop: Shop, opened: ShopPresenter, pattern: Pattern) -> None:
    press(opened, "7  Temper 2", "Repeat")
    assert names(shop, pattern)[6:8] == ["Temper 2", "Temper 3"]
    assert opened.state().title == "Step 8: Temper 3"


def test_a_removed_step_takes_its_rules_along_and_its_page_closes(
    shop: Shop, opened: ShopPresenter, pattern: Pattern
) -> None:
    before = len(route_rules(shop.floor, newest_route(shop.floor, pattern)))
    press(opened, "3  Drill holes", "Remove")
    assert "Drill holes" not in names(shop, pattern)
    assert len(route_rules(shop.floor, newest_route(shop.floor, pattern))) < before
    assert opened.state().title == "Route of Paring 95"
    opened.press_undo()
    assert names(shop, pattern)[2] == "Drill holes"


def test_a_step_is_added_after_another(
    shop: Shop, opened: ShopPresenter, pattern: Pattern, dialogs: FakeDialogs
) -> None:
    stage = shop.floor.stage_by_name("Mark")
    assert stage is not None
    dialogs.answers = [str(stage.id), str(steps(shop, pattern)[0].id)]
    press(opened, "Add a step")
    assert names(shop, pattern)[:3] == ["Saw out", "Mark", "Profile"]
    assert opened.state().title == "Step 2: Mark"


def test_what_is_changed_holds_for_new_batches_and_those_begun_keep_theirs(
    shop: Shop, opened: ShopPresenter, pattern: Pattern
) -> None:
    begun = shop.batch(pattern, 2)
    press(opened, "1  Saw out", "Remove")
    assert names(shop, pattern)[0] == "Profile"
    assert shop.floor.steps(begun.id)[0].name == "Saw out"
    assert shop.floor.steps(shop.batch(pattern, 2).id)[0].name == "Profile"


def test_the_page_follows_its_step_into_the_new_version(
    shop: Shop, opened: ShopPresenter, pattern: Pattern, dialogs: FakeDialogs
) -> None:
    shop.batch(pattern, 2)
    dialogs.answers = ["Cut out", str(False)]
    press(opened, "1  Saw out", "Name")
    assert opened.state().title == "Step 1: Cut out"
    press(opened, "How it is worked")
    assert (steps(shop, pattern)[0].name, steps(shop, pattern)[0].one_by_one) == ("Cut out", False)


@pytest.mark.parametrize("kind", Kind)
def test_who_is_needed_is_chosen(
    shop: Shop, opened: ShopPresenter, pattern: Pattern, dialogs: FakeDialogs, kind: Kind
) -> None:
    dialogs.answers = [kind]
    press(opened, "2  Profile", "Who is needed")
    assert steps(shop, pattern)[1].kind is kind


@pytest.mark.parametrize(
    ("unit", "typed", "hours"), [("minutes", "90", 1.5), ("hours", "2.5", 2.5), ("days", "3", 72.0)]
)
def test_a_wait_is_typed_in_minutes_hours_or_days(
    shop: Shop, opened: ShopPresenter, pattern: Pattern, dialogs: FakeDialogs, unit: str, typed: str, hours: float
) -> None:
    dialogs.answers = ["length", unit, typed]
    press(opened, "6  Temper 1", "Lasts")
    assert steps(shop, pattern)[5].wait_us == hours * HOUR_US


@pytest.mark.parametrize("typed", ["0", "-2", "1/2", "...", "400", "99999999999", "nan"])
def test_what_is_no_length_is_told_and_changes_nothing(
    shop: Shop, opened: ShopPresenter, pattern: Pattern, dialogs: FakeDialogs, typed: str
) -> None:
    before = steps(shop, pattern)
    dialogs.answers = ["length", "days", typed]
    press(opened, "6  Temper 1", "Lasts")
    assert dialogs.asked[-1].words == f"{typed} days is no length from a minute to a year. Nothing was changed."
    assert steps(shop, pattern) == before


def test_a_step_begins_by_itself_or_by_a_press_and_may_have_no_length(
    shop: Shop, opened: ShopPresenter, pattern: Pattern, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["itself", "none"]
    press(opened, "6  Temper 1", "Begins", "Lasts")
    assert (steps(shop, pattern)[5].begins_itself, steps(shop, pattern)[5].wait_us) == (True, None)


def test_a_tool_and_what_each_piece_takes_of_it(
    shop: Shop, opened: ShopPresenter, pattern: Pattern, dialogs: FakeDialogs
) -> None:
    clamps = next(tool for tool in shop.floor.all(Tool) if tool.name == "clamps")
    dialogs.answers = [str(clamps.id), "2", "none"]
    press(opened, "2  Profile", "Tool")
    assert tile(opened, "Tool").detail == "clamps, 2 each of 8"
    press(opened, "Tool")
    assert steps(shop, pattern)[1].tool_id is None


@pytest.mark.parametrize("typed", ["0", "9", "x", "nan"])
def test_a_share_beyond_what_the_tool_holds_is_refused(
    shop: Shop, opened: ShopPresenter, pattern: Pattern, dialogs: FakeDialogs, typed: str
) -> None:
    clamps = next(tool for tool in shop.floor.all(Tool) if tool.name == "clamps")
    before = steps(shop, pattern)
    dialogs.answers = [str(clamps.id), typed]
    press(opened, "2  Profile", "Tool")
    assert dialogs.asked[-1].words == f"{typed} is no number above 0, up to 8. Nothing was changed."
    assert steps(shop, pattern) == before


def test_two_steps_of_a_route_have_two_names(
    shop: Shop, opened: ShopPresenter, pattern: Pattern, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["saw OUT"]
    press(opened, "2  Profile", "Name")
    assert dialogs.asked[-1].words.startswith("There is saw OUT already.")
    assert names(shop, pattern)[1] == "Profile"


def test_the_order_rules_are_said_in_words(opened: ShopPresenter) -> None:
    press(opened, "Order rules")
    assert {t.title: t.detail for t in opened.state().tiles} == {
        "Drill holes, then Harden": "in this order",
        "Harden, then Temper 1": "within 1 h · common practice, no source",
        "Drill holes, then Fit scales": "in this order",
        "Fit scales, then Glue up": "in this order",
        "Cure, then Shape handle": "not before 24 h",
    }


def test_a_rule_is_added_with_its_time(
    shop: Shop, opened: ShopPresenter, pattern: Pattern, dialogs: FakeDialogs
) -> None:
    first, then = steps(shop, pattern)[1], steps(shop, pattern)[8]
    dialogs.answers = [RuleKind.WITHIN, str(first.id), str(then.id), "hours", "6"]
    press(opened, "Order rules", "Add a rule")
    assert tile(opened, "Profile, then Mark").detail == "within 6 h"
    rule = route_rules(shop.floor, newest_route(shop.floor, pattern))[-1]
    assert (rule.kind, rule.limit_us) == (RuleKind.WITHIN, 6 * HOUR_US)


def test_a_rule_against_the_order_of_the_route_is_refused(
    shop: Shop, opened: ShopPresenter, pattern: Pattern, dialogs: FakeDialogs
) -> None:
    first, then = steps(shop, pattern)[8], steps(shop, pattern)[1]
    dialogs.answers = [RuleKind.BEFORE, str(first.id), str(then.id)]
    press(opened, "Order rules", "Add a rule")
    assert dialogs.asked[-1].words == "Mark comes later than Profile already. No rule was made."
    assert len(titles(opened)) == 5


@pytest.mark.parametrize(("answer", "left"), [("drop", 4), ("keep", 5), (None, 5)])
def test_a_rule_is_removed_only_when_asked_for(
    opened: ShopPresenter, dialogs: FakeDialogs, answer: str | None, left: int
) -> None:
    dialogs.answers = [answer]
    press(opened, "Order rules", "Drill holes, then Harden")
    assert len(titles(opened)) == left
