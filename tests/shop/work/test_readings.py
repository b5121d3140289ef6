"""Readings: target and measured apart, limits that speak, a value that stays with its piece."""

import pytest

from shopclock.shop.setup import patterns, reading_kinds
from shopclock.shop.values.entities import Batch, Pattern, Reading, ReadingKind
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Outcome
from shopclock.shop.work import begin, finish, readings
from shopclock.shop.work.pieces import end_piece
from tests.shop.starters import starters
from tests.shop.workshop import Shop


@pytest.fixture
def shop() -> Shop:
    made = Shop(3)
    route = next(r for r in starters() if r.name == "Stock removal, carbon steel")
    made.pattern = made.press(lambda tx: patterns.copy_route(tx, route, "Paring 95"))
    made.batch = made.new_batch(3)
    return made


def kind(shop: Shop, name: str) -> ReadingKind:
    return next(k for k in shop.floor.all(ReadingKind) if k.name == name)


def take(shop: Shop, name: str, mark: str | None, typed: str) -> Reading:
    found, batch = kind(shop, name), shop.batch
    piece = shop.piece(mark) if mark else None
    step = readings.step_for(shop.floor, found, batch, piece, None)
    return shop.press(lambda tx: readings.take(tx, found, step, piece, typed))


def test_a_copied_route_brings_what_is_measured_with_its_limits_and_says_that_they_are_common_practice(
    shop: Shop,
) -> None:
    hardness, edge = kind(shop, "Hardness"), kind(shop, "Edge before sharpening")
    assert (hardness.unit, hardness.low, hardness.target, hardness.high) == ("HRC", "57", "60", "62")
    assert (edge.unit, edge.low, edge.target, edge.high) == ("in", "0.005", None, "0.01")
    assert hardness.common_practice
    assert edge.common_practice
    assert reading_kinds.limits_said(edge) == "0.005 to 0.01 in"
    assert hardness.pattern_id == shop.pattern.id


def test_a_pattern_copied_from_a_pattern_has_its_own(shop: Shop) -> None:
    made = shop.press(lambda tx: patterns.copy_pattern(tx, shop.pattern, "Paring 110"))
    own = [k for k in shop.floor.all(ReadingKind) if k.pattern_id == made.id]
    names = ["Oven reading", "Oven reading", "Hardness", "Edge before sharpening"]
    assert [k.name for k in own] == names
    assert [(k.low, k.target) for k in own] == [(None, "800"), (None, "200"), ("57", "60"), ("0.005", None)]


def test_target_and_measured_are_apart(shop: Shop) -> None:
    reading = take(shop, "Hardness", "A", "59,5")
    assert str(readings.measured(reading)) == "59.5 HRC"
    assert str(readings.target(reading)) == "60 HRC"
    changed = shop.press(lambda tx: readings.set_target(tx, reading, "61"))
    assert (changed.target, changed.measured, kind(shop, "Hardness").target) == ("61", "59.5", "60")


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("Hardness", "57", ""),
        ("Hardness", "56.9", "below 57 HRC"),
        ("Hardness", "62", ""),
        ("Hardness", "62.1", "above 62 HRC"),
        ("Edge before sharpening", "10 thou", ""),
        ("Edge before sharpening", "0.254 mm", ""),
        ("Edge before sharpening", "0.2541 mm", "above 0.01 in"),
        ("Edge before sharpening", "1/256", "below 0.005 in"),
        ("Edge before sharpening", "1/128", ""),
    ],
)
def test_a_reading_outside_its_limits_says_so_in_whatever_unit(shop: Shop, name: str, typed: str, said: str) -> None:
    reading = take(shop, name, "B", typed)
    assert readings.outside(shop.floor, reading) == said
    assert shop.warnings == ([f"B: {readings.reading_text(shop.floor, reading)}."] if said else [])


def test_it_stays_with_its_piece_whatever_becomes_of_it(shop: Shop) -> None:
    reading = take(shop, "Hardness", "A", "51")
    shop.press(lambda tx: end_piece(tx, shop.piece("A"), Outcome.KEPT))
    assert readings.of_piece(shop.floor, shop.piece("A")) == (reading,)
    assert readings.outside_of(shop.floor, shop.piece("A")) == (reading,)
    assert readings.outside_of(shop.floor, shop.piece("B")) == ()


def test_the_newest_reading_of_a_kind_decides_and_the_older_stay(shop: Shop) -> None:
    take(shop, "Hardness", "A", "51")
    shop.clock.on(60)
    take(shop, "Hardness", "A", "60")
    assert readings.outside_of(shop.floor, shop.piece("A")) == ()
    assert [r.measured for r in readings.of_piece(shop.floor, shop.piece("A"))] == ["60", "51"]


def test_a_reading_of_the_whole_load_stands_at_each_piece(shop: Shop) -> None:
    take(shop, "Hardness", None, "59")
    assert [r.measured for r in readings.of_piece(shop.floor, shop.piece("C"))] == ["59"]


def test_a_reading_is_put_right_and_taken_away(shop: Shop) -> None:
    reading = take(shop, "Edge before sharpening", "A", "80 thou")
    changed = shop.press(lambda tx: readings.measure_again(tx, reading, "8"))
    assert str(readings.measured(changed)) == "8 thousandths"
    shop.press(lambda tx: readings.take_away(tx, changed))
    assert list(shop.floor.all(Reading)) == []
    shop.undo()
    assert list(shop.floor.all(Reading)) == [changed]


def test_what_is_not_understood_keeps_nothing(shop: Shop) -> None:
    with pytest.raises(Refusal, match="5/0 is not understood"):
        take(shop, "Hardness", "A", "5/0")
    assert list(shop.floor.all(Reading)) == []


def test_the_kinds_of_the_step_in_hand_come_first_and_those_put_away_not_at_all(shop: Shop) -> None:
    sharpened = next(
        s for s in shop.floor.steps(shop.batch.id) if s.stage_id == kind(shop, "Edge before sharpening").stage_id
    )
    names = [k.name for k in readings.kinds_for(shop.floor, shop.batch, sharpened)]
    assert names == ["Edge before sharpening", "Oven reading", "Oven reading", "Hardness"]
    shop.press(lambda tx: reading_kinds.put_kind_away(tx, kind(shop, "Hardness"), away=True))
    left = [k.name for k in readings.kinds_for(shop.floor, shop.batch)]
    assert left == ["Oven reading", "Oven reading", "Edge before sharpening"]


def test_another_pattern_is_measured_by_its_own_limits_alone(shop: Shop) -> None:
    other = next(p for p in shop.floor.all(Pattern) if p.name == "Spreader")
    shop.pattern = other
    assert readings.kinds_for(shop.floor, shop.new_batch(2)) == ()


def test_the_step_is_the_one_in_hand_else_the_last_of_the_stage_that_the_piece_is_through(shop: Shop) -> None:
    found, batch = kind(shop, "Hardness"), shop.batch
    own = [s for s in shop.floor.steps(batch.id) if s.stage_id == found.stage_id]
    assert len(own) == 2
    piece = shop.piece("A")
    assert readings.step_for(shop.floor, found, batch, piece, own[1]) == own[1]
    assert readings.step_for(shop.floor, found, batch, piece, None) == own[0]
    for step in own:
        started = shop.press(lambda tx, step=step: begin.begin(tx, step, (piece.id,)))
        shop.clock.on(120)
        shop.press(lambda tx, started=started: finish.out(tx, started))
    assert readings.step_for(shop.floor, found, batch, piece, None) == own[1]


def test_limits_are_set_cleared_and_have_to_rise(shop: Shop) -> None:
    found = kind(shop, "Edge before sharpening")
    changed = shop.press(lambda tx: reading_kinds.set_limit(tx, found, "high", "0.3 mm"))
    assert (reading_kinds.limits_said(changed), changed.common_practice) == ("0.005 to 0.0118 in", False)
    with pytest.raises(Refusal, match=r"0\.02 in is above 0\.0118 in: low, target and high have to rise\."):
        shop.press(lambda tx: reading_kinds.set_limit(tx, found, "low", "0.02"))
    assert kind(shop, "Edge before sharpening").low == "0.005"
    cleared = shop.press(lambda tx: reading_kinds.set_limit(tx, changed, "low", ""))
    assert reading_kinds.limits_said(cleared) == "up to 0.0118 in"


def test_another_unit_tells_the_same_limits(shop: Shop) -> None:
    found = shop.press(lambda tx: reading_kinds.set_unit(tx, kind(shop, "Edge before sharpening"), "mm"))
    assert reading_kinds.limits_said(found) == "0.127 to 0.254 mm"
    with pytest.raises(Refusal, match="can't be told in HRC"):
        shop.press(lambda tx: reading_kinds.set_unit(tx, found, "HRC"))


def test_a_kind_of_the_shops_own_is_for_every_pattern(shop: Shop) -> None:
    stage = shop.stage("Harden")
    made = shop.press(lambda tx: reading_kinds.add_kind(tx, stage, " Oil  heat ", "°C"))
    assert (made.name, made.pattern_id, made.common_practice) == ("Oil heat", None, False)
    for batch in shop.floor.all(Batch):
        assert made in readings.kinds_for(shop.floor, batch)
    with pytest.raises(Refusal, match="There is oil heat already"):
        shop.press(lambda tx: reading_kinds.add_kind(tx, stage, "oil heat", "°C"))
    with pytest.raises(Refusal, match="mm2 is no unit"):
        shop.press(lambda tx: reading_kinds.add_kind(tx, stage, "Area", "mm2"))
