"""What is left in a batch, step by step, and what a new one will ask for."""

import pytest

from shopclock.analysis.forecast.remaining_work import RemainingStep, RemainingWork, of_batch, of_pattern
from shopclock.analysis.learning.route_minutes import loads
from shopclock.shop.setup import list_edit
from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.values.entities import OrderRule, Tool
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.kinds import RuleKind
from shopclock.shop.work import acts, begin, finish, pieces
from tests.analysis.planned import planned_shop
from tests.shop.workshop import Shop


def left(shop: Shop) -> RemainingWork:
    return of_batch(shop.floor, shop.batch, shop.clock.now_us)


def named(batch: RemainingWork, name: str) -> RemainingStep:
    return next(step for step in batch.steps if step.name == name)


def before(batch: RemainingWork, name: str) -> set[str]:
    return {batch.steps[i].name for i in named(batch, name).needs}


def test_a_new_batch_has_the_routes_steps_in_its_order() -> None:
    shop = planned_shop()
    batch = of_pattern(shop.floor, shop.pattern, 7, "next")
    assert [s.name for s in batch.steps] == ["Saw", "Bevel", "Harden", "Temper", "Scales", "Glue", "Cure", "Sharpen"]
    assert before(batch, "Saw") == before(batch, "Scales") == set()
    assert before(batch, "Glue") == {"Temper", "Scales"}
    assert before(batch, "Sharpen") == {"Cure"}
    assert (named(batch, "Temper").wait_min, named(batch, "Cure").wait_min) == (120, 1440)
    assert [(stage.name, stage.route_min) for stage in batch.stages][:2] == [("Saw", 10), ("Bevel", 30)]


def test_an_open_batch_has_the_same_before_it_is_begun() -> None:
    shop = planned_shop(3)
    new, opened = of_pattern(shop.floor, shop.pattern, 3, "next"), left(shop)
    assert [(s.name, s.needs, s.share) for s in opened.steps] == [(s.name, s.needs, s.share) for s in new.steps]
    assert [stage.route_min for stage in opened.stages] == [stage.route_min for stage in new.stages]


def test_what_was_done_is_not_done_again() -> None:
    shop = planned_shop(4)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(30)
    shop.press(lambda tx: acts.go_on(tx, shop.runs()))
    shop.clock.on(20)
    shop.press(lambda tx: finish.one_done(tx, shop.runs()))
    shop.clock.on(10)
    batch = left(shop)
    assert "Saw" not in [step.name for step in batch.steps]
    bevel = named(batch, "Bevel")
    assert bevel.share == pytest.approx(3 / 4)
    assert bevel.spent_min == pytest.approx(10)


def test_pieces_set_aside_are_not_counted_on() -> None:
    shop = planned_shop(3)
    shop.press(lambda tx: pieces.set_aside(tx, shop.piece("A")))
    shop.press(lambda tx: pieces.lose(tx, shop.piece("B"), None, "warped"))
    assert left(shop).pieces == 1


def test_a_wait_that_runs_ends_when_it_ends() -> None:
    shop = planned_shop(2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Temper")))
    shop.clock.on(45)
    assert named(left(shop), "Temper").held_min == pytest.approx(75)
    shop.clock.on(500)
    assert named(left(shop), "Temper").held_min == 0


def test_a_wait_that_holds_a_part_only_is_still_to_begin() -> None:
    shop = planned_shop(2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Temper"), shop.pieces("A")))
    assert named(left(shop), "Temper").held_min is None


@pytest.mark.parametrize(("capacity", "share", "n", "times"), [(5, 1, 5, 1), (5, 1, 6, 2), (8, 2, 9, 3), (1, 2, 3, 3)])
def test_a_tool_is_filled_as_often_as_it_takes(capacity: int, share: float, n: int, times: int) -> None:
    shop = Shop()
    tool = next(shop.floor.all(Tool))
    shop.press(lambda tx: list_edit.set_capacity(tx, tool, str(capacity)))
    assert loads(shop.floor, tool.id, share, n) == times
    assert loads(shop.floor, None, share, n) == 1


def test_rules_that_go_round_in_a_circle_are_told() -> None:
    shop = planned_shop()
    route = newest_route(shop.floor, shop.pattern)
    steps = {step.name: step.id for step in route_steps(shop.floor, route)}
    shop.press(
        lambda tx: tx.add(
            OrderRule(
                route_id=route.id, kind=RuleKind.BEFORE, first_step_id=steps["Sharpen"], then_step_id=steps["Scales"]
            )
        )
    )
    for ask in (lambda: of_pattern(shop.floor, shop.pattern, 3, "next"), lambda: left(shop)):
        with pytest.raises(ShopError, match="each have to come before the other, so nothing can be planned"):
            ask()
