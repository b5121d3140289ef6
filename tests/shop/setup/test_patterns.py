"""Patterns and their routes: copied, changed step by step; a batch keeps the version it began with."""

import pytest

from shopclock.shop.setup import patterns, route_edit
from shopclock.shop.state import settings
from shopclock.shop.values.entities import Method, Route, RouteStep, Stage, Tool
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import RuleKind
from tests.shop.workshop import ROUTE, Shop


def names(shop: Shop) -> list[str]:
    route = patterns.newest_route(shop.floor, shop.pattern)
    return [step.name for step in patterns.route_steps(shop.floor, route)]


def route_step(shop: Shop, name: str) -> RouteStep:
    route = patterns.newest_route(shop.floor, shop.pattern)
    return next(s for s in patterns.route_steps(shop.floor, route) if s.name == name)


FIRST = ["Saw", "Bevel", "Harden", "Temper", "Scales", "Glue", "Cure", "Sharpen"]


def test_a_second_copy_uses_the_stages_methods_and_tools_that_are_there() -> None:
    shop = Shop(1)
    before = [len(list(shop.floor.all(kind))) for kind in (Stage, Method, Tool)]
    shop.press(lambda tx: patterns.copy_route(tx, ROUTE, "Long spreader"))
    assert [len(list(shop.floor.all(kind))) for kind in (Stage, Method, Tool)] == before


@pytest.mark.parametrize("name", ["", "  ", "Spreader", "sPREADER "])
def test_a_name_that_is_empty_or_taken_is_refused(name: str) -> None:
    shop = Shop(1)
    with pytest.raises(Refusal):
        shop.press(lambda tx: patterns.copy_route(tx, ROUTE, name))


def test_changing_the_route_leaves_a_batch_its_version() -> None:
    shop = Shop(1)
    shop.press(lambda tx: route_edit.remove_step(tx, shop.pattern, route_step(shop, "Bevel")))
    assert names(shop) == [name for name in FIRST if name != "Bevel"]
    assert [s.name for s in shop.floor.steps(shop.batch.id)] == FIRST
    assert [r.version for r in shop.floor.all(Route)] == [1, 2]
    shop.press(lambda tx: route_edit.remove_step(tx, shop.pattern, route_step(shop, "Saw")))
    assert [r.version for r in shop.floor.all(Route)] == [1, 2]


@pytest.mark.parametrize(
    ("step", "by", "order"),
    [
        ("Saw", 1, ["Bevel", "Saw", *FIRST[2:]]),
        ("Sharpen", 5, FIRST),
        ("Saw", -1, FIRST),
        ("Sharpen", -7, ["Sharpen", *FIRST[:-1]]),
    ],
)
def test_a_step_moves_and_stays_at_the_ends(step: str, by: int, order: list[str]) -> None:
    shop = Shop(1)
    shop.press(lambda tx: route_edit.move_step(tx, shop.pattern, route_step(shop, step), by))
    assert names(shop) == order


def test_a_step_is_added_after_another_and_repeated_under_a_number() -> None:
    shop = Shop(1)
    shop.press(lambda tx: route_edit.add_step(tx, shop.pattern, shop.stage("Saw"), route_step(shop, "Cure")))
    assert names(shop) == [*FIRST[:7], "Saw", "Sharpen"]
    for _ in range(2):
        shop.press(lambda tx: route_edit.repeat_step(tx, shop.pattern, route_step(shop, "Temper")))
    assert names(shop)[3:6] == ["Temper", "Temper 2", "Temper 3"]


def test_the_last_step_cannot_be_removed() -> None:
    shop = Shop(1)
    for name in FIRST[:-1]:
        shop.press(lambda tx, name=name: route_edit.remove_step(tx, shop.pattern, route_step(shop, name)))
    with pytest.raises(Refusal, match=r"A route needs one step. Nothing was removed."):
        shop.press(lambda tx: route_edit.remove_step(tx, shop.pattern, route_step(shop, "Sharpen")))


@pytest.mark.parametrize(
    ("kind", "first", "then", "limit_s"),
    [
        (RuleKind.BEFORE, "Glue", "Saw", None),
        (RuleKind.BEFORE, "Saw", "Saw", None),
        (RuleKind.WITHIN, "Harden", "Temper", None),
    ],
)
def test_a_rule_that_makes_no_sense_is_refused(kind: RuleKind, first: str, then: str, limit_s: int | None) -> None:
    shop = Shop(1)
    with pytest.raises(Refusal, match="No rule was made"):
        shop.press(
            lambda tx: route_edit.set_rule(
                tx, shop.pattern, kind, route_step(shop, first), route_step(shop, then), limit_s
            )
        )


def test_rules_go_with_their_steps_and_can_be_dropped() -> None:
    shop = Shop(1)

    def count() -> int:
        return len(patterns.route_rules(shop.floor, patterns.newest_route(shop.floor, shop.pattern)))

    assert count() == 4
    shop.press(lambda tx: route_edit.remove_step(tx, shop.pattern, route_step(shop, "Harden")))
    assert count() == 2
    rule = patterns.route_rules(shop.floor, patterns.newest_route(shop.floor, shop.pattern))[0]
    shop.press(lambda tx: route_edit.drop_rule(tx, shop.pattern, rule))
    assert count() == 1


def test_a_setting_has_a_default_keeps_what_is_set_and_refuses_what_is_no_choice() -> None:
    shop = Shop(1)
    assert settings.value(shop.floor, settings.THEME) == "dark"
    shop.press(lambda tx: settings.set_value(tx, settings.THEME, "paper"))
    assert settings.value(shop.floor, settings.THEME) == "paper"
    with pytest.raises(Refusal):
        shop.press(lambda tx: settings.set_value(tx, settings.THEME, "pink"))
    shop.press(lambda tx: settings.store(tx, settings.FAR_VIEW_S.name, "soon"))
    assert settings.value(shop.floor, settings.FAR_VIEW_S) == settings.FAR_VIEW_S.default
