"""Putting what runs right: method, set-up, its start, an interruption."""

import pytest

from shopclock.shop.values.entities import Interval, Method, Tally
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Certainty, Kind, WorkKind, worse
from shopclock.shop.work import acts, adjust, amend, begin, finish, pieces
from tests.shop.workshop import MINUTE_US, Shop


def start(shop: Shop, step: str, marks: str | None = None) -> Interval:
    chosen = shop.pieces(marks) if marks is not None else None
    return shop.press(lambda tx: begin.begin(tx, shop.step(step), chosen))


def since(shop: Shop, minutes_ago: float) -> Interval:
    at = shop.clock.now_us - round(minutes_ago * MINUTE_US)
    return shop.press(lambda tx: adjust.start_since(tx, shop.runs(), at))


def lengths_min(shop: Shop) -> list[float]:
    return [
        ((shop.clock.now_us if i.end_us is None else i.end_us) - i.start_us) / MINUTE_US
        for i in shop.floor.all(Interval)
    ]


def test_another_method_or_set_up_ends_the_interval_and_begins_another_at_the_same_instant() -> None:
    shop = Shop(2)
    first = start(shop, "Bevel")
    shop.clock.on(5)
    second = shop.press(lambda tx: adjust.set_up(tx, shop.runs()))
    shop.clock.on(5)
    jig = next(m for m in shop.floor.all(Method) if m.name == "jig")
    third = shop.press(lambda tx: adjust.use_method(tx, shop.runs(), jig))
    assert shop.now(first).end_us == second.start_us
    assert shop.now(second).end_us == third.start_us
    assert (second.continues_id, third.continues_id) == (first.id, second.id)
    assert (third.work, third.method_id) == (WorkKind.SETUP, jig.id)


def test_the_same_method_again_changes_nothing() -> None:
    shop = Shop(2)
    running = start(shop, "Bevel")
    shop.clock.on(5)
    same = shop.floor.get(Method, running.method_id or 0)
    assert shop.press(lambda tx: adjust.use_method(tx, running, same)) == running


def test_at_the_very_start_it_is_changed_in_place() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    shop.press(lambda tx: adjust.set_up(tx, shop.runs()))
    assert len(list(shop.floor.all(Interval))) == 1


def test_since_moves_the_start_back_and_the_end_of_what_ran_before_with_it() -> None:
    shop = Shop(2)
    start(shop, "Saw")
    shop.clock.on(30)
    start(shop, "Scales")
    shop.clock.on(5)
    since(shop, 15)
    assert lengths_min(shop) == [20, 15]
    assert shop.runs().start_sure is Certainty.AMENDED
    assert shop.now(next(shop.floor.all(Interval))).end_sure is Certainty.AMENDED


def test_since_moves_the_marks_that_the_same_press_made() -> None:
    shop = Shop(2)
    start(shop, "Saw")
    shop.clock.on(30)
    shop.press(lambda tx: acts.go_on(tx, shop.runs()))
    shop.clock.on(5)
    since(shop, 15)
    assert {t.at_us for t in shop.floor.all(Tally)} == {shop.clock.now_us - 15 * MINUTE_US}


@pytest.mark.parametrize("minutes_ago", [36, 4.9, 0, -1])
def test_a_start_before_other_work_began_or_after_the_press_is_refused(minutes_ago: float) -> None:
    shop = Shop(2)
    start(shop, "Saw")
    shop.clock.on(30)
    start(shop, "Scales")
    shop.clock.on(5)
    before = lengths_min(shop)
    with pytest.raises(Refusal, match=r"That time lies before other work began. Nothing was changed."):
        since(shop, minutes_ago)
    assert lengths_min(shop) == before


def test_a_start_can_go_back_a_day_where_nothing_is_in_the_way() -> None:
    shop = Shop(2)
    running = start(shop, "Saw")
    assert adjust.earliest_start(shop.floor, running) == running.start_us - adjust.DAY_US


def test_a_start_does_not_go_past_a_piece_done() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    shop.clock.on(10)
    shop.press(lambda tx: finish.one_done(tx, shop.runs()))
    done_us = shop.clock.now_us
    shop.clock.on(10)
    start(shop, "Scales")
    assert adjust.earliest_start(shop.floor, shop.runs()) == done_us


def test_since_takes_the_end_of_what_it_goes_on_from_along_whatever_pieces_that_had() -> None:
    shop = Shop(3)
    first = start(shop, "Temper", "A")
    shop.clock.on(60)
    shop.press(lambda tx: pieces.cover(tx, shop.runs(), shop.pieces("BC")))
    shop.clock.on(5)
    since(shop, 20)
    assert shop.now(first).end_us == shop.runs().start_us == shop.clock.now_us - 20 * MINUTE_US


def test_minutes_taken_off_what_runs_are_a_gap_before_now() -> None:
    shop = Shop(2)
    first = start(shop, "Bevel")
    shop.clock.on(40)
    shop.press(lambda tx: adjust.take_off(tx, 15))
    again = shop.runs()
    assert lengths_min(shop) == [25, 0]
    assert again.continues_id == first.id
    assert {shop.now(first).end_sure, again.start_sure} == {Certainty.AMENDED}


def test_minutes_taken_off_what_was_stopped_end_it_earlier() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    shop.clock.on(40)
    shop.press(begin.stop)
    shop.clock.on(300)
    shop.press(lambda tx: adjust.take_off(tx, 15))
    assert lengths_min(shop) == [25]


@pytest.mark.parametrize("minutes", [40, 41, 30])
def test_more_than_has_run_since_the_last_mark_cannot_be_taken_off(minutes: int) -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    shop.clock.on(10)
    shop.press(lambda tx: finish.one_done(tx, shop.runs()))
    shop.clock.on(30)
    with pytest.raises(Refusal, match=r"It has not run that long. Nothing was changed."):
        shop.press(lambda tx: adjust.take_off(tx, minutes))


def test_with_nothing_ever_run_there_is_nothing_to_take_off() -> None:
    shop = Shop(2)
    with pytest.raises(Refusal, match=r"There is nothing to take time off."):
        shop.press(lambda tx: adjust.take_off(tx, 5))


@pytest.mark.parametrize(
    ("one", "other", "worst"),
    [
        (Certainty.PRESSED, Certainty.PRESSED, Certainty.PRESSED),
        (Certainty.PRESSED, Certainty.AMENDED, Certainty.AMENDED),
        (Certainty.ESTIMATED, Certainty.AMENDED, Certainty.ESTIMATED),
    ],
)
def test_an_interval_is_as_sure_as_its_worse_end(one: Certainty, other: Certainty, worst: Certainty) -> None:
    assert worse(one, other) is worse(other, one) is worst


def test_a_start_takes_along_the_end_of_what_it_goes_on_from_even_where_nobody_stays_by() -> None:
    """Sweeping that turned out to be a wait: neither hands nor pieces tie its two parts together."""
    shop = Shop()
    sweeping = shop.press(lambda tx: begin.begin_shop_work(tx, shop.stage("Sweeping")))
    shop.clock.on(30)
    later = shop.press(lambda tx: adjust.set_up(tx, sweeping))
    shop.press(lambda tx: amend.use_kind(tx, later, Kind.WAIT))
    shop.clock.on(2)
    at_us = later.start_us - 5 * MINUTE_US
    shop.press(lambda tx: adjust.start_since(tx, shop.now(later), at_us))
    assert (shop.now(sweeping).end_us, shop.now(later).start_us) == (at_us, at_us)
