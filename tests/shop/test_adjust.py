"""Putting what runs right: method, set-up, its start, an interruption."""

import pytest

from shopclock.shop import adjust, amend, begin, finish, pieces
from shopclock.shop.errors import Refusal
from shopclock.shop.kinds import Certainty, Kind, Work, worse
from shopclock.shop.values import Interval, Method, Tally
from tests.shop.workshop import MINUTE_US, Shop


def start(shop: Shop, step: str, marks: str | None = None) -> Interval:
    chosen = shop.pieces(marks) if marks is not None else None
    return shop.press(lambda turn: begin.begin(turn, shop.step(step), chosen))


def since(shop: Shop, minutes_ago: float) -> Interval:
    at = shop.clock.now_us - round(minutes_ago * MINUTE_US)
    return shop.press(lambda turn: adjust.start_since(turn, shop.runs(), at))


def lengths_min(shop: Shop) -> list[float]:
    return [
        ((shop.clock.now_us if i.end_us is None else i.end_us) - i.start_us) / MINUTE_US
        for i in shop.floor.all(Interval)
    ]


def test_another_method_or_set_up_ends_the_interval_and_begins_another_at_the_same_instant() -> None:
    shop = Shop(2)
    first = start(shop, "Bevel")
    shop.clock.on(5)
    second = shop.press(lambda turn: adjust.set_up(turn, shop.runs()))
    shop.clock.on(5)
    jig = next(m for m in shop.floor.all(Method) if m.name == "jig")
    third = shop.press(lambda turn: adjust.use_method(turn, shop.runs(), jig))
    assert shop.now(first).end_us == second.start_us
    assert shop.now(second).end_us == third.start_us
    assert (second.continues_id, third.continues_id) == (first.id, second.id)
    assert (third.work, third.method_id) == (Work.SETUP, jig.id)


def test_the_same_method_again_changes_nothing() -> None:
    shop = Shop(2)
    running = start(shop, "Bevel")
    shop.clock.on(5)
    same = shop.floor.get(Method, running.method_id or 0)
    assert shop.press(lambda turn: adjust.use_method(turn, running, same)) == running


def test_at_the_very_start_it_is_changed_in_place() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    shop.press(lambda turn: adjust.set_up(turn, shop.runs()))
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
    shop.press(lambda turn: finish.go_on(turn, shop.runs()))
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
    shop.press(lambda turn: finish.one_done(turn, shop.runs()))
    done_us = shop.clock.now_us
    shop.clock.on(10)
    start(shop, "Scales")
    assert adjust.earliest_start(shop.floor, shop.runs()) == done_us


def test_since_takes_the_end_of_what_it_goes_on_from_along_whatever_pieces_that_had() -> None:
    shop = Shop(3)
    first = start(shop, "Temper", "A")
    shop.clock.on(60)
    shop.press(lambda turn: pieces.cover(turn, shop.runs(), shop.pieces("BC")))
    shop.clock.on(5)
    since(shop, 20)
    assert shop.now(first).end_us == shop.runs().start_us == shop.clock.now_us - 20 * MINUTE_US


def test_minutes_taken_off_what_runs_are_a_gap_before_now() -> None:
    shop = Shop(2)
    first = start(shop, "Bevel")
    shop.clock.on(40)
    shop.press(lambda turn: adjust.take_off(turn, 15))
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
    shop.press(lambda turn: adjust.take_off(turn, 15))
    assert lengths_min(shop) == [25]


@pytest.mark.parametrize("minutes", [40, 41, 30])
def test_more_than_has_run_since_the_last_mark_cannot_be_taken_off(minutes: int) -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    shop.clock.on(10)
    shop.press(lambda turn: finish.one_done(turn, shop.runs()))
    shop.clock.on(30)
    with pytest.raises(Refusal, match=r"It has not run that long. Nothing was changed."):
        shop.press(lambda turn: adjust.take_off(turn, minutes))


def test_with_nothing_ever_run_there_is_nothing_to_take_off() -> None:
    shop = Shop(2)
    with pytest.raises(Refusal, match=r"There is nothing to take time off."):
        shop.press(lambda turn: adjust.take_off(turn, 5))


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
    sweeping = shop.press(lambda turn: begin.begin_shop_work(turn, shop.stage("Sweeping")))
    shop.clock.on(30)
    later = shop.press(lambda turn: adjust.set_up(turn, sweeping))
    shop.press(lambda turn: amend.use_kind(turn, later, Kind.WAIT))
    shop.clock.on(2)
    at_us = later.start_us - 5 * MINUTE_US
    shop.press(lambda turn: adjust.start_since(turn, shop.now(later), at_us))
    assert (shop.now(sweeping).end_us, shop.now(later).start_us) == (at_us, at_us)
