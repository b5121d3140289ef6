"""A stop is forgotten after three times usual, after a gap one by one, at the end of the day; a wait never is."""

from dataclasses import replace
from datetime import datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.figures.trend_rows import Usual
from shopclock.shop.recovery import answers, forgotten, questions
from shopclock.shop.state import settings
from shopclock.shop.values.entities import Interval, Step
from shopclock.shop.values.kinds import QuestionReason, WorkKind
from shopclock.shop.work import begin, finish
from tests.shop.workshop import MINUTE_US, Shop

HOUR_US = 60 * MINUTE_US
VIENNA = ZoneInfo("Europe/Vienna")


def usual(minutes: float) -> Usual:
    return Usual(4, minutes, minutes - 1, minutes, minutes + 1)


def start(shop: Shop, name: str, **fields: object) -> Interval:
    return shop.press(lambda tx: begin.begin(tx, shop.step(name), **fields))  # type: ignore[arg-type]  # begin's own


@pytest.fixture
def shop() -> Shop:
    """At noon, so that no end of the day is near, with a route that says how long a piece takes."""
    made = Shop(4)
    made.clock.on(15 * 60)
    for name in ("Saw", "Bevel"):
        made.press(
            lambda tx, name=name: tx.change(
                replace(tx.current(made.step(name)), minutes_us=10 * MINUTE_US, setup_us=6 * MINUTE_US)
            )
        )
    return made


@pytest.mark.parametrize(
    ("step", "usually", "minutes"),
    [
        ("Saw", None, 3 * 4 * 10),
        ("Saw", 14.0, 3 * 4 * 14),
        ("Bevel", None, 3 * 10),
        ("Bevel", 14.0, 3 * 14),
        ("Bevel", 1.0, 5),
        ("Harden", None, 3 * 60),
    ],
)
def test_asked_after_three_times_usual_one_by_one_of_a_piece_in_rounds_of_all(
    shop: Shop, step: str, usually: float | None, minutes: int
) -> None:
    interval = start(shop, step)
    known = usual(usually) if usually else None
    at = forgotten.forgotten_at(shop.floor, interval, known)
    assert at - interval.start_us == minutes * MINUTE_US
    assert forgotten.due(shop.floor, at - 1, lambda _: known) == ()
    assert forgotten.due(shop.floor, at, lambda _: known) == (interval,)


def test_one_by_one_each_piece_done_starts_the_gap_anew(shop: Shop) -> None:
    bevels = start(shop, "Bevel")
    shop.clock.on(25)
    shop.press(lambda tx: finish.one_done(tx, bevels))
    assert forgotten.forgotten_at(shop.floor, bevels, None) == shop.clock.now_us + 30 * MINUTE_US


def test_where_nobody_marked_pieces_in_the_last_batches_it_is_as_in_rounds_until_one_is(shop: Shop) -> None:
    bevels = start(shop, "Bevel")
    known = Usual(4, 10.0, 9.0, 10.0, 11.0, marked=False)
    assert forgotten.forgotten_at(shop.floor, bevels, known) == bevels.start_us + 3 * 4 * 10 * MINUTE_US
    assert forgotten.forgotten_at(shop.floor, bevels, usual(10.0)) == bevels.start_us + 3 * 10 * MINUTE_US
    shop.clock.on(25)
    shop.press(lambda tx: finish.one_done(tx, bevels))
    assert forgotten.forgotten_at(shop.floor, bevels, known) == shop.clock.now_us + 30 * MINUTE_US


def test_in_rounds_no_gap_is_asked_about(shop: Shop) -> None:
    saw = start(shop, "Saw")
    shop.clock.on(10)
    shop.press(lambda tx: finish.one_done(tx, saw))
    assert forgotten.forgotten_at(shop.floor, saw, None) >= saw.start_us + 120 * MINUTE_US


def test_set_up_is_measured_by_its_own_minutes(shop: Shop) -> None:
    setting_up = start(shop, "Bevel", work=WorkKind.SETUP)
    assert forgotten.forgotten_at(shop.floor, setting_up, usual(14)) - setting_up.start_us == 18 * MINUTE_US


def test_a_setting_says_how_many_times_usual_and_how_many_hours_where_nothing_is_known(shop: Shop) -> None:
    saw, sweeping = start(shop, "Saw"), shop.stage("Sweeping")
    shop.press(lambda tx: settings.set_value(tx, settings.TIMES_USUAL, 5))
    shop.press(lambda tx: settings.set_value(tx, settings.UNKNOWN_H, 2))
    assert forgotten.forgotten_at(shop.floor, saw, None) - saw.start_us == 5 * 40 * MINUTE_US
    swept = shop.press(lambda tx: begin.begin_shop_work(tx, sweeping))
    assert forgotten.forgotten_at(shop.floor, swept, None) - swept.start_us == 2 * HOUR_US


@pytest.mark.parametrize("step", ["Temper", "Cure"])
def test_a_wait_is_never_forgotten(shop: Shop, step: str) -> None:
    start(shop, step)
    assert forgotten.due(shop.floor, shop.clock.now_us + 10**15, lambda _: usual(1)) == ()


@pytest.mark.parametrize(
    ("started", "ends", "asked"),
    [
        ("2026-11-26 20:14", "23:00", "2026-11-26 23:00"),
        ("2026-11-26 23:00", "23:00", "2026-11-27 23:00"),
        ("2026-11-26 23:10", "01:00", "2026-11-27 01:00"),
        ("2026-10-24 23:30", "03:00", "2026-10-25 03:00"),
        ("2026-03-28 22:00", "02:00", "2026-03-29 02:00"),
    ],
)
def test_the_end_of_the_shops_day_is_told_by_its_own_wall(shop: Shop, started: str, ends: str, asked: str) -> None:
    shop.press(lambda tx: settings.set_value(tx, settings.DAY_ENDS, ends))
    found = forgotten.day_end(_at(started), shop.floor)
    assert found == _at(asked)


def _at(text: str) -> int:
    return round(datetime.fromisoformat(text).replace(tzinfo=VIENNA).timestamp()) * 1_000_000


def test_asked_once_and_after_a_yes_only_after_another_such_span(shop: Shop) -> None:
    bevels = start(shop, "Bevel")
    shop.clock.on(30)
    asked = shop.press(lambda tx: questions.ask(tx, QuestionReason.STILL, bevels, bevels.start_us))
    assert forgotten.due(shop.floor, shop.clock.now_us + HOUR_US, lambda _: None) == ()
    shop.clock.on(2)
    shop.press(lambda tx: answers.still_at_it(tx, asked))
    assert forgotten.forgotten_at(shop.floor, bevels, None) == shop.clock.now_us + 30 * MINUTE_US
    assert not shop.now(bevels).end_us


def test_a_piece_done_or_a_stop_answers_the_question_and_undo_asks_it_again(shop: Shop) -> None:
    bevels = start(shop, "Bevel")
    shop.clock.on(30)
    asked = shop.press(lambda tx: questions.ask(tx, QuestionReason.STILL, bevels, bevels.start_us))
    for answered in (lambda tx: finish.one_done(tx, bevels), begin.stop):
        assert questions.open_questions(shop.floor) == (asked,)
        shop.clock.on(1)
        shop.press(answered)
        assert questions.open_questions(shop.floor) == ()
        shop.undo()


def test_the_usual_end_is_what_is_left_of_its_pieces(shop: Shop) -> None:
    bevels = start(shop, "Bevel")
    assert forgotten.usual_end(shop.floor, bevels, None) == bevels.start_us + 40 * MINUTE_US
    shop.clock.on(12)
    shop.press(lambda tx: finish.one_done(tx, bevels))
    assert forgotten.usual_end(shop.floor, bevels, None) == shop.clock.now_us + 30 * MINUTE_US
    saw = start(shop, "Saw", pieces=shop.pieces("CD"))
    shop.clock.on(15)
    shop.press(begin.stop)
    again = start(shop, "Saw", pieces=shop.pieces("CD"))
    assert forgotten.usual_end(shop.floor, saw, usual(10)) == saw.start_us + 20 * MINUTE_US
    assert forgotten.usual_end(shop.floor, again, usual(10)) == again.start_us + 5 * MINUTE_US


def test_a_stage_that_comes_twice_has_its_part_of_the_usual(shop: Shop) -> None:
    saw = shop.step("Saw")
    shop.press(
        lambda tx: tx.change(replace(tx.current(shop.step("Glue")), stage_id=saw.stage_id, minutes_us=30 * MINUTE_US))
    )
    step = shop.floor.get(Step, saw.id)
    assert forgotten.piece_us(shop.floor, step, usual(20)) == 5 * MINUTE_US


@given(st.lists(st.integers(0, 10**10), max_size=4), st.integers(0, 10**10), st.integers(0, 10**10))
def test_times_to_choose_from_are_every_five_minutes_between_two_instants_likeliest_first(
    points: list[int], low: int, high: int
) -> None:
    found = forgotten.likely_times(points, low, high)
    assert len(set(found)) == len(found)
    assert all(at % (5 * MINUTE_US) == 0 and low < at < high for at in found)
    far = [min(abs(at - point) for point in points) for at in found]
    assert all(one <= other + 5 * MINUTE_US for one, other in pairwise(far))
