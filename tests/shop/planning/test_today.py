"""What to do with the time there is."""

from dataclasses import replace

import pytest

from shopclock.shop.figures.trend_rows import TrendRow, Usual
from shopclock.shop.planning.ready_work import KnownMinutes, known
from shopclock.shop.planning.today import Today, today
from shopclock.shop.values.entities import Tool
from shopclock.shop.values.kinds import Outcome
from shopclock.shop.work import begin, finish
from shopclock.shop.work.order_rules import running_out
from shopclock.shop.work.pieces import lose
from tests.shop.workshop import MINUTE_US, Shop

MINUTES = {"Saw": 5, "Bevel": 10, "Harden": 8, "Scales": 6, "Glue": 4, "Sharpen": 7}


UNKNOWN = KnownMinutes()


def timed(shop: Shop, setup: int = 0) -> Shop:
    """Give the steps the route's starting minutes."""
    for step in shop.floor.steps(shop.batch.id):
        if step.name in MINUTES:
            fields = {"minutes_us": MINUTES[step.name] * MINUTE_US, "setup_us": setup * MINUTE_US}
            shop.press(lambda tx, s=step, f=fields: tx.change(replace(tx.current(s), **f)))
    return shop


def look(shop: Shop, minutes: float, off: float | None = None, usual: KnownMinutes = UNKNOWN) -> Today:
    return today(shop.floor, shop.clock.now_us, round(minutes * MINUTE_US), lambda _: usual, off)


def fits(found: Today) -> dict[str, tuple[int, float]]:
    """Step names with how many pieces fit and the minutes they need."""
    return {fit.work.step.name: (fit.n, fit.need_us / MINUTE_US) for fit in found.fits}


def longer(found: Today) -> list[str]:
    return [work.step.name for work in found.longer]


def through(shop: Shop, *steps: str) -> None:
    for step in map(shop.step, steps):
        shop.press(lambda tx, s=step: finish.all_through(tx, s, shop.pieces("ABC")))


def test_what_is_ready_and_fits_takes_its_minutes_a_piece_and_its_set_up() -> None:
    found = look(timed(Shop(), setup=3), 40)
    assert fits(found) == {"Saw": (3, 18.0), "Scales": (3, 21.0)}
    assert all(fit.work.about and fit.whole for fit in found.fits)


def test_the_shops_own_minutes_stand_for_the_routes() -> None:
    usual = Usual(4, 9.0, 8.0, 9.0, 10.0)
    found = look(timed(Shop(), setup=3), 40, usual=KnownMinutes(usual, 2 * MINUTE_US))
    assert fits(found)["Saw"] == (3, 29.0)
    assert not found.fits[0].work.about


def test_work_taken_off_makes_it_longer() -> None:
    found = look(timed(Shop()), 20, off=0.25)
    assert fits(found)["Saw"] == (3, 20.0)
    assert "Saw" in longer(look(timed(Shop()), 20, off=0.26))


def test_in_rounds_it_fits_whole_or_takes_longer() -> None:
    found = look(timed(Shop()), 14)
    assert "Saw" not in fits(found)
    assert "Saw" in longer(found)


def test_of_a_round_that_takes_longer_it_says_how_many_pieces_fit() -> None:
    """5 min each and 2 of set-up: 12 for two, 17 for all three."""
    found = look(timed(Shop(), setup=2), 14)
    (saw,) = [work for work in found.longer if work.step.name == "Saw"]
    assert [saw.part(minutes * MINUTE_US) for minutes in (6, 7, 14, 16, 17)] == [0, 1, 2, 2, 3]


def test_one_by_one_it_says_how_many_fit() -> None:
    found = look(timed(Shop(), setup=1), 14)
    assert fits(found)["Scales"] == (2, 13.0)
    assert not found.fits[0].whole


def test_what_was_spent_on_it_before_is_taken_off_down_to_one_piece() -> None:
    shop = timed(Shop())
    for minutes, left in ((6, 9.0), (7, 5.0)):
        shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
        shop.clock.on(minutes)
        shop.press(begin.stop)
        assert fits(look(shop, 40))["Saw"] == (3, left)


def test_a_step_nobody_knows_the_minutes_of_is_not_said_to_fit() -> None:
    found = look(Shop(), 600)
    assert fits(found) == {}
    assert longer(found) == ["Saw", "Scales"]
    assert found.longer[0].whole_us is None


def test_what_is_being_worked_is_not_offered_again() -> None:
    shop = timed(Shop())
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    assert "Saw" not in fits(look(shop, 60))


def test_what_lets_a_wait_begin_comes_first_and_in_part_comes_last() -> None:
    shop = timed(Shop())
    through(shop, "Saw", "Bevel", "Harden", "Temper", "Scales")
    other = shop.new_batch(3)
    for step in shop.floor.steps(other.id):
        shop.press(lambda tx, s=step: tx.change(replace(tx.current(s), minutes_us=3 * MINUTE_US)))
    found = look(shop, 13)
    assert [(fit.work.step.name, fit.work.batch.name) for fit in found.fits] == [
        ("Glue", shop.batch.name),
        ("Saw", other.name),
        ("Scales", other.name),
    ]
    assert found.fits[0].work.opens == shop.step("Cure")
    assert [fit.work.step.name for fit in look(shop, 11).fits] == ["Saw", "Scales", "Glue"]


def test_what_starts_a_within_rule_is_offered_only_with_what_must_follow() -> None:
    shop = timed(Shop())
    through(shop, "Saw", "Bevel")
    assert "Harden" in fits(look(shop, 24))
    temper = shop.step("Temper")
    shop.press(lambda tx: tx.change(replace(tx.current(temper), setup_us=10 * MINUTE_US)))
    assert "Harden" not in fits(look(shop, 33))
    assert "Harden" not in longer(look(shop, 33))
    assert fits(look(shop, 34))["Harden"] == (3, 24.0)


def test_one_by_one_what_starts_a_within_rule_is_not_begun_in_part() -> None:
    shop = timed(Shop())
    through(shop, "Saw", "Bevel")
    harden = shop.step("Harden")
    shop.press(lambda tx: tx.change(replace(tx.current(harden), one_by_one=True)))
    assert "Harden" not in fits(look(shop, 23))


def hardened(shop: Shop) -> Shop:
    through(shop, "Saw", "Bevel")
    shop.press(lambda tx: begin.begin(tx, shop.step("Harden")))
    shop.clock.on(20)
    shop.press(begin.stop)
    return shop


def test_what_spoils_stands_apart_with_the_room_in_its_tool() -> None:
    shop = hardened(Shop())
    (spoils,) = look(shop, 40).spoils
    assert (spoils.first.name, spoils.then.name) == ("Harden", "Temper")
    assert (spoils.until_us - shop.clock.now_us) == 40 * MINUTE_US
    assert (shop.floor.marks(spoils.takes), spoils.blocked) == (["A", "B", "C"], None)
    offered = look(timed(shop), 600)
    assert {"Harden", "Temper"}.isdisjoint({*fits(offered), *longer(offered)})


@pytest.mark.parametrize(("capacity", "share", "takes"), [(5, 1.0, 3), (5, 2.0, 2), (1, 2.0, 0), (None, 2.0, 3)])
def test_one_press_takes_as_many_as_there_is_room_for(capacity: float | None, share: float, takes: int) -> None:
    shop = hardened(Shop())
    oven, temper = next(shop.floor.all(Tool)), shop.step("Temper")
    shop.press(
        lambda tx: (
            tx.change(replace(tx.current(oven), capacity=capacity)),
            tx.change(replace(tx.current(temper), tool_share=share)),
        )
    )
    (spoils,) = look(shop, 40).spoils
    assert len(spoils.takes) == takes
    assert len(spoils.blocked.pieces if spoils.blocked is not None else ()) == 3 - takes


def test_what_is_in_the_tool_takes_its_share_of_the_room() -> None:
    shop = hardened(Shop())
    oven = next(shop.floor.all(Tool))
    shop.press(lambda tx: tx.change(replace(tx.current(oven), capacity=2)))
    temper = shop.step("Temper")
    shop.press(lambda tx: begin.begin(tx, temper, shop.pieces("AB")))
    (spoils,) = look(shop, 40).spoils
    assert (shop.floor.marks(spoils.pieces), spoils.takes) == (["C"], ())
    assert spoils.blocked is not None
    assert spoils.blocked.until_us == shop.clock.now_us + 120 * MINUTE_US


def test_a_lost_piece_neither_spoils_nor_is_counted() -> None:
    shop = hardened(timed(Shop()))
    lost = shop.press(lambda tx: lose(tx, shop.piece("B"), shop.step("Harden"), "cracked"))
    assert shop.piece("B").outcome is Outcome.SCRAPPED, lost
    found = look(shop, 60)
    assert shop.floor.marks(found.spoils[0].pieces) == ["A", "C"]
    assert fits(found)["Scales"] == (2, 12.0)


def test_what_cooks_says_until_when_and_what_is_ready_stands_first() -> None:
    shop = hardened(timed(Shop()))
    start = shop.clock.now_us
    shop.press(lambda tx: begin.begin(tx, shop.step("Temper"), shop.pieces("AB")))
    shop.clock.on(100)
    shop.press(lambda tx: begin.begin(tx, shop.step("Temper"), shop.pieces("C")))
    (both,) = look(shop, 40).cooking
    assert shop.floor.marks(both.pieces) == ["A", "B", "C"]
    assert (both.since_us, both.ready_us, both.over) == (start, shop.clock.now_us + 120 * MINUTE_US, False)
    shop.clock.on(30)
    first, second = look(shop, 40).cooking
    assert (shop.floor.marks(first.pieces), first.over) == (["A", "B"], True)
    assert (shop.floor.marks(second.pieces), second.over) == (["C"], False)


def test_a_wait_to_be_started_needs_no_hands() -> None:
    shop = hardened(Shop())
    through(shop, "Harden")
    rule = running_out(shop.floor, shop.clock.now_us)[0].rule
    shop.press(lambda tx: tx.drop(rule))
    assert fits(look(shop, 10))["Temper"] == (3, 0.0)


def row(shop: Shop, batch_id: int, setup_min: float) -> TrendRow:
    stage = shop.step("Saw").stage_id
    method = begin.usual_method(shop.floor, shop.step("Saw"))
    plain = TrendRow(0, shop.pattern.id, stage, method, False, True, 4, 0, 0, 0, 0, 0, 0, 0)
    return replace(
        plain, batch_id=batch_id, run_us=4 * 9 * MINUTE_US, setup_us=round(setup_min * MINUTE_US), middle_us=batch_id
    )


def test_set_up_is_this_shops_own_from_four_batches_on() -> None:
    shop = Shop()
    rows = [row(shop, n, minutes) for n, minutes in enumerate((2, 4, 8, 6))]
    assert known(shop.floor, rows, shop.step("Saw")).setup_us == 5 * MINUTE_US
    few = known(shop.floor, rows[:3], shop.step("Saw"))
    assert few.setup_us is None
    assert few.usual is not None
    assert few.usual.last_min == pytest.approx(9.0)
