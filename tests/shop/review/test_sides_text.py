"""An entry that shop and desk have differently is told in plain words: what it was, what each of them says."""

from dataclasses import fields, replace
from enum import StrEnum
from types import NoneType
from typing import Any, get_args, get_origin, get_type_hints

import pytest

from shopclock.shop.planning import orders
from shopclock.shop.review.change_text import FIELD_WORDS, SKIPPED, SidesText, entry_name, sides
from shopclock.shop.values.entities import ENTITIES, Entity, Interval, OrderRule, Pattern, Route, RouteStep, ShopHours
from shopclock.shop.values.kinds import RuleKind
from shopclock.shop.values.pointers import POINTERS
from shopclock.shop.work import begin
from tests.shop.workshop import MINUTE_US, Shop


def test_a_stretch_is_named_by_its_step_and_day_and_its_times_stand_beside_each_other() -> None:
    shop = Shop(3)
    step = next(s for s in shop.floor.steps(shop.batch.id) if s.kind.attended)
    shop.press(lambda tx: begin.begin(tx, step))
    shop.clock.on(us=30 * MINUTE_US)
    shop.press(begin.stop)
    was = next(shop.floor.all(Interval))
    assert was.end_us is not None
    here, there = (replace(was, end_us=was.end_us - minutes * MINUTE_US) for minutes in (5, 9))
    assert entry_name(shop.floor, was).startswith(f"{step.name}, {shop.batch.name}, A–C, ")
    (said,) = sides(shop.floor, was, here, there)
    assert said.what == "end"
    assert len({said.was, said.shop, said.desk}) == 3


def test_what_one_side_took_away_is_said_so() -> None:
    shop = Shop(3)
    order = shop.press(lambda tx: orders.take_order(tx, "Nora Quist", next(shop.floor.all(Pattern)), 3))
    assert entry_name(shop.floor, order) == "Order Nora Quist"
    assert sides(shop.floor, order, None, replace(order, wanted=5)) == [SidesText("", "there", "taken away", "there")]
    assert sides(shop.floor, order, replace(order, wanted=4), replace(order, wanted=5)) == [
        SidesText("wanted", "3", "4", "5")
    ]


def two_of(name: str, hint: Any) -> tuple[object, object]:
    """Two values of a field that differ; instants and lengths by a second."""
    if get_origin(hint) is tuple:
        return (), (1,)
    kind = next((one for one in get_args(hint) if one is not NoneType), hint)
    if issubclass(kind, StrEnum):
        first, second, *_ = kind
        return first, second
    number = 1_000_000 if name.endswith("_us") else 1
    return {bool: (False, True), int: (3 * number, 4 * number), float: (0.5, 0.25), str: ("ash", "oak")}[kind]


@pytest.mark.parametrize("kind", ENTITIES, ids=lambda kind: kind.__name__)
def test_whatever_shop_and_desk_have_differently_is_told_and_never_reads_alike(kind: type[Entity]) -> None:
    floor, hints = Shop(3).floor, get_type_hints(kind)
    thing = kind(**{name: two_of(name, hint)[0] for name, hint in hints.items() if name not in SKIPPED})
    assert entry_name(floor, thing)
    for field in fields(kind):
        if field.name in SKIPPED or (kind is Interval and field.name not in FIELD_WORDS[Interval]):
            continue
        other = replace(thing, **{field.name: two_of(field.name, hints[field.name])[1]})
        (said,) = sides(floor, thing, thing, other)
        if field.name not in (*POINTERS, "pieces"):
            assert said.shop != said.desk, field.name


def test_lengths_are_told_as_lengths_and_times_of_other_days_with_their_day() -> None:
    shop = Shop(3)
    step, batch = shop.floor.get(RouteStep, 1), shop.batch
    lengths = [replace(step, wait_us=us) for us in (180 * MINUTE_US, 3 * MINUTE_US, MINUTE_US // 2)]
    assert sides(shop.floor, *lengths) == [SidesText("wait", "3 h", "3 min", "0:00:30")]

    def started(by_us: int) -> SidesText:
        (told,) = sides(shop.floor, None, batch, replace(batch, started_us=batch.started_us + by_us))
        return told

    assert [len(text.split()) for text in (started(MINUTE_US).shop, started(MINUTE_US).desk)] == [1, 1]
    assert started(1_000_000).desk.endswith(" s")
    shop_day, desk_day = (
        text.split()[:-1] for text in (started(24 * 60 * MINUTE_US).shop, started(24 * 60 * MINUTE_US).desk)
    )
    assert len(shop_day) == len(desk_day) == 3
    assert shop_day != desk_day


def test_pointers_are_told_by_name_and_what_has_no_name_by_what_it_points_at() -> None:
    shop = Shop(3)
    first = next(shop.floor.all(Pattern))
    second = shop.press(lambda tx: tx.add(replace(first, name="Splitting wedge")))
    order = shop.press(lambda tx: orders.take_order(tx, "Nora Quist", first, 3))
    (said,) = sides(shop.floor, order, order, replace(order, pattern_id=second.id))
    assert said == SidesText("pattern", first.name, first.name, "Splitting wedge")
    assert entry_name(shop.floor, Route(pattern_id=second.id)) == "Route Splitting wedge"
    rule = OrderRule(route_id=1, kind=RuleKind.BEFORE, first_step_id=1, then_step_id=2)
    names = [shop.floor.get(RouteStep, number).name for number in (1, 2)]
    assert entry_name(shop.floor, rule) == f"Order rule {', '.join([first.name, *names])}"
    hours = ShopHours(weekday=2, from_min=19 * 60, to_min=21 * 60 + 30)
    assert entry_name(shop.floor, hours) == "Hours Wednesday"
    assert [one.desk for one in sides(shop.floor, hours, hours, replace(hours, from_min=19 * 60 + 15))] == ["19:15"]
