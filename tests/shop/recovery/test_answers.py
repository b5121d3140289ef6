"""Answers about a forgotten stop: cut at the last sure moment, estimated from there on, sums exact."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.recovery import answers, questions
from shopclock.shop.values.entities import Interval, Question
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Certainty, QuestionReason, worse
from shopclock.shop.work import begin, finish
from tests.shop.sound import assert_sound, things
from tests.shop.workshop import MINUTE_US, Shop

Ends = list[tuple[int, int, Certainty, Certainty]]


def ask(shop: Shop, interval: Interval, sure_us: int) -> Question:
    return shop.press(lambda tx: questions.ask(tx, QuestionReason.STILL, interval, sure_us))


def bevels(shop: Shop) -> Interval:
    return shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))


def ends(shop: Shop) -> Ends:
    """Minutes from the first start, and how sure, of all that has ended by hand."""
    every = sorted((i for i in shop.floor.all(Interval) if i.end_us is not None), key=lambda i: i.start_us)
    zero = every[0].start_us
    return [
        ((i.start_us - zero) // MINUTE_US, ((i.end_us or 0) - zero) // MINUTE_US, i.start_sure, i.end_sure)
        for i in every
    ]


P, A, E = Certainty


@pytest.mark.parametrize(
    ("sure", "end", "wanted"),
    [
        (40, 55, [(0, 40, P, P), (40, 55, P, E)]),
        (0, 55, [(0, 55, P, E)]),
        (40, 40, [(0, 40, P, A)]),
        (40, 30, [(0, 30, P, A)]),
        (40, 90, [(0, 40, P, P), (40, 90, P, E)]),
    ],
)
def test_only_what_follows_the_last_sure_moment_is_estimated(sure: int, end: int, wanted: Ends) -> None:
    shop = Shop(3)
    interval = bevels(shop)
    zero = interval.start_us
    shop.clock.on(90)
    asked = ask(shop, interval, zero + sure * MINUTE_US)
    shop.press(lambda tx: answers.stopped(tx, asked, zero + end * MINUTE_US))
    assert ends(shop) == wanted
    assert not shop.floor.running
    assert_sound(shop.floor, shop.clock.now_us)


@pytest.mark.parametrize("end", [0, -5, 15, 91])
def test_a_time_before_the_start_or_the_last_piece_done_or_still_to_come_is_refused(end: int) -> None:
    shop = Shop(3)
    interval = bevels(shop)
    zero = interval.start_us
    shop.clock.on(20)
    shop.press(lambda tx: finish.one_done(tx, interval))
    shop.clock.on(70)
    asked = ask(shop, interval, zero)
    before = things(shop.floor)
    with pytest.raises(Refusal):
        shop.press(lambda tx: answers.stopped(tx, asked, zero + end * MINUTE_US))
    assert things(shop.floor) == before


def test_minutes_of_pieces_done_stay_theirs_across_the_cut() -> None:
    shop = Shop(3)
    interval = bevels(shop)
    shop.clock.on(15)
    shop.press(lambda tx: finish.one_done(tx, interval))
    sure = shop.clock.now_us
    shop.clock.on(75)
    asked = ask(shop, interval, sure)
    shop.press(lambda tx: answers.stopped(tx, asked, sure + 20 * MINUTE_US))
    shares = [{shop.floor.marks([p])[0]: us // MINUTE_US for p, us in row} for row in shop.floor.shares.values()]
    assert shares == [{"A": 15, "B": 0, "C": 0}, {"A": 0, "B": 10, "C": 10}]


def test_it_was_another_step_splits_and_the_other_step_runs_on() -> None:
    shop = Shop(3)
    saw = shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    zero = saw.start_us
    shop.clock.on(60)
    asked = ask(shop, saw, zero + 20 * MINUTE_US)
    step = shop.step("Bevel")
    assert step in answers.other_steps(shop.floor, saw)
    begun = shop.press(lambda tx: answers.other_step(tx, asked, step, zero + 35 * MINUTE_US))
    assert ends(shop) == [(0, 20, P, P), (20, 35, P, E)]
    assert (begun.start_us, begun.start_sure, begun.end_us) == (zero + 35 * MINUTE_US, E, None)
    assert shop.running() == {"Bevel": "ABC"}
    assert_sound(shop.floor, shop.clock.now_us)
    shop.undo()
    assert shop.running() == {"Saw": "ABC"}
    assert questions.open_questions(shop.floor) == (asked,)


def test_a_watch_was_no_work_by_hand_while_the_hands_were_at_other_work() -> None:
    shop = Shop(2)
    watch = shop.press(lambda tx: begin.begin(tx, shop.step("Harden"), shop.pieces("A")))
    shop.press(lambda tx: begin.begin(tx, shop.step("Scales"), shop.pieces("B")))
    shop.clock.on(40)
    asked = ask(shop, watch, watch.start_us)
    before = shop.running()
    at = shop.clock.now_us - 10 * MINUTE_US
    with pytest.raises(Refusal, match=r"The hands were at other work then, not at sharpen. Nothing was changed."):
        shop.press(lambda tx: answers.other_step(tx, asked, shop.step("Sharpen"), at))
    assert shop.running() == before


def test_what_was_stopped_meanwhile_needs_no_answer() -> None:
    shop = Shop(3)
    interval = bevels(shop)
    shop.clock.on(60)
    asked = ask(shop, interval, interval.start_us)
    shop.press(begin.stop)
    with pytest.raises(Refusal, match="stopped already"):
        shop.press(lambda tx: answers.stopped(tx, asked, shop.clock.now_us - 1))


MOMENTS = st.lists(st.integers(1, 90 * MINUTE_US), max_size=3)


@given(
    done=MOMENTS,
    sure=st.integers(0, 10**10),
    end=st.integers(-(10**9), 10**10),
    other=st.booleans(),
    rest=st.integers(0, 10**9),
)
def test_no_cut_leaves_a_negative_length_or_a_sum_that_is_off(
    done: list[int], sure: int, end: int, other: bool, rest: int
) -> None:
    shop = Shop(3)
    interval = bevels(shop)
    for gap in done:
        shop.clock.on(us=gap)
        shop.press(lambda tx: finish.one_done(tx, interval))
    heard = shop.clock.now_us
    shop.clock.on(us=1 + rest)
    sure_us = min(interval.start_us + sure, shop.clock.now_us)
    asked = ask(shop, interval, sure_us)
    before, end_us = things(shop.floor), interval.start_us + end
    step = shop.step("Sharpen")
    try:
        if other:
            shop.press(lambda tx: answers.other_step(tx, asked, step, end_us))
        else:
            shop.press(lambda tx: answers.stopped(tx, asked, end_us))
    except Refusal:
        assert things(shop.floor) == before
        assert not (max(heard, interval.start_us + 1) <= end_us <= shop.clock.now_us)
        return
    assert_sound(shop.floor, shop.clock.now_us)
    own = [i for i in shop.floor.all(Interval) if i.step_id == interval.step_id]
    assert sum((i.end_us or 0) - i.start_us for i in own) == end_us - interval.start_us
    for part in own:
        if worse(part.start_sure, part.end_sure) is Certainty.ESTIMATED:
            assert part.start_us >= sure_us
        else:
            assert (part.end_us or 0) <= max(sure_us, heard)
    shop.undo()
    assert things(shop.floor) == before


@pytest.mark.parametrize(
    ("sure", "usual", "wanted"),
    [
        (40, 55, [(0, 40, P, P), (40, 55, P, E)]),
        (0, 55, [(0, 55, P, E)]),
        (40, 30, [(0, 40, P, E)]),
        (40, None, [(0, 40, P, E)]),
        (0, None, [(0, 1, P, E)]),
        (40, 700, [(0, 40, P, P), (40, 90, P, E)]),
    ],
)
def test_a_press_that_says_that_it_has_ended_not_when_takes_it_for_the_usual_end(
    sure: int, usual: int | None, wanted: Ends
) -> None:
    shop = Shop(3)
    interval = bevels(shop)
    zero = interval.start_us
    shop.clock.on(90)
    asked = ask(shop, interval, zero + sure * MINUTE_US)
    usual_us = zero + usual * MINUTE_US if usual is not None else None
    end_us = answers.taken_end_us(shop.floor, asked, usual_us, shop.clock.now_us)
    last = shop.press(lambda tx: answers.ended(tx, asked, end_us))
    assert ends(shop) == wanted
    assert last.end_us == end_us
    assert questions.open_about(shop.floor, interval) is None
    assert_sound(shop.floor, shop.clock.now_us)


def test_after_a_piece_was_marked_the_last_sure_moment_is_its_mark() -> None:
    shop = Shop(3)
    interval = bevels(shop)
    zero = interval.start_us
    shop.clock.on(20)
    shop.press(lambda tx: finish.one_done(tx, interval))
    shop.clock.on(600)
    asked = ask(shop, interval, zero)
    assert answers.taken_end_us(shop.floor, asked, None, shop.clock.now_us) == zero + 20 * MINUTE_US
    shop.press(lambda tx: answers.ended(tx, asked, zero + 35 * MINUTE_US))
    assert ends(shop) == [(0, 20, P, P), (20, 35, P, E)]
    assert_sound(shop.floor, shop.clock.now_us)
