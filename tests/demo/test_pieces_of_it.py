"""What the demo is made of: its files, its evenings, its pace and its guesses."""

from datetime import datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from shopclock.demo.clock import DemoClock
from shopclock.demo.evenings import Evening, evenings
from shopclock.demo.pace import Paces
from shopclock.demo.shop import DemoShop
from shopclock.demo.write import default_end_us
from tests.shop.workshop import MINUTE_US


def _usual(plan: DemoShop) -> list[Evening]:
    return [evening for evening in evenings(plan, default_end_us(plan), plan.seed) if not evening.spare]


def test_mishaps_name_pieces_and_steps_that_their_batch_has(plan: DemoShop) -> None:
    for batch in plan.batches:
        names = {step.name for step in plan.routes[batch.pattern].steps}
        for mishap in batch.mishaps:
            assert {mishap.step, mishap.cause or mishap.step, mishap.back or mishap.step} <= names
            assert set(mishap.pieces) <= set("ABCDEFGHJKLM"[: batch.pieces])


def test_every_stage_that_is_worked_has_a_pace_for_its_pattern(plan: DemoShop) -> None:
    known = {(pace.stage, pattern) for pace in plan.paces for pattern in pace.minutes}
    for key, route in plan.routes.items():
        assert {(step.stage, key) for step in route.steps if step.kind.attended} <= known


def test_no_route_is_longer_than_a_screen_shows(plan: DemoShop) -> None:
    assert all(len(route.steps) <= 20 for route in plan.routes.values())


def test_evenings_follow_each_other_and_the_last_ends_at_the_end(plan: DemoShop) -> None:
    found = _usual(plan)
    assert all(one.end_us < other.start_us for one, other in pairwise(found))
    assert found[-1].end_us == default_end_us(plan)


def test_evenings_stay_evenings_on_both_sides_of_a_change_of_clocks(plan: DemoShop) -> None:
    zone = ZoneInfo(plan.zone)
    for evening in _usual(plan):
        start = datetime.fromtimestamp(evening.start_us / 1e6, zone)
        weekend = start.weekday() >= 5
        assert (9 <= start.hour <= 15) if weekend else (17 <= start.hour <= 20), start


def test_nobody_works_in_the_holidays(plan: DemoShop) -> None:
    days = {datetime.fromtimestamp(e.start_us / 1e6, ZoneInfo(plan.zone)).strftime("%m-%d") for e in _usual(plan)}
    assert not days & {"12-24", "12-31", "01-02", "08-01", "08-10"}


def test_practice_leaves_88_percent_of_the_minutes_at_each_doubling(plan: DemoShop) -> None:
    batch = next(b for b in plan.batches if b.pattern == "paring" and b.bevels == "freehand")
    paces = Paces(plan, plan.seed)
    first = paces.minutes(batch, "Grind bevels", "A")
    paces.made(batch, "Grind bevels", 31)
    assert paces.minutes(batch, "Grind bevels", "A") / first == pytest.approx(0.88**5)


def test_the_jig_is_as_quick_at_the_last_piece_as_at_the_first(plan: DemoShop) -> None:
    batch = next(b for b in plan.batches if b.pattern == "paring" and b.bevels == "jig")
    paces = Paces(plan, plan.seed)
    first = paces.minutes(batch, "Grind bevels", "A")
    paces.made(batch, "Grind bevels", 100)
    assert paces.minutes(batch, "Grind bevels", "A") == first


def test_a_new_evening_is_a_new_start_of_the_computer() -> None:
    clock = DemoClock(ZoneInfo("Europe/Dublin"), 1_792_868_400_000_000)
    clock.go(5)
    first = clock.moment()
    clock.switch_on(first.wall_us + 86_400_000_000)
    second = clock.moment()
    assert (first.boot_us, second.boot_us) == (5 * MINUTE_US, 0)
    assert first.boot_id != second.boot_id
    assert (first.offset_min, second.offset_min) == (60, 0)
