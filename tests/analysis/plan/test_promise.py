"""Two more by the holidays? First what nobody was promised, then a new batch, and whom that makes late."""

import re
from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pytest

from shopclock.analysis.plan.plan import PlanChange
from shopclock.analysis.plan.plan_told import day_by_day
from shopclock.analysis.plan.promise import promise, promise_text, promises, times_text
from shopclock.shop.planning import orders, plan_order
from shopclock.shop.setup import week
from shopclock.shop.state.wording import day_text, shop_time, zone_of
from shopclock.shop.values.entities import Batch, CustomerOrder, Tool
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work import begin
from tests.analysis.planned import BY_HAND, planned_shop, planner
from tests.shop.workshop import Shop

DRAWS = 500
LATER = date(2027, 6, 1)


def order(shop: Shop, who: str, marks: str, day: date, batch: Batch | None = None) -> CustomerOrder:
    taken = shop.press(lambda tx: orders.take_order(tx, who, shop.pattern, len(marks), day))
    for mark in marks:
        shop.press(lambda tx, mark=mark: orders.tie(tx, taken, shop.piece(mark, batch)))
    return taken


def begun(shop: Shop) -> None:
    """Saw for a minute: what is added now can't go with the others any more."""
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(1)
    shop.press(begin.stop)


def test_unpromised_pieces_come_first() -> None:
    shop = planned_shop(8)
    found = promise(planner(shop), shop.pattern, 2, draws=DRAWS)
    assert (found.taken, found.blanks) == ({shop.batch.id: 2}, 0)
    assert found.holds(shop.floor, LATER) > 0.99


def test_what_is_promised_is_not_promised_again() -> None:
    shop = planned_shop(6)
    order(shop, "Brook", "ABCDEF", LATER)
    begun(shop)
    found = promise(planner(shop), shop.pattern, 2, draws=DRAWS)
    assert found.taken == {}
    assert found.blanks >= 3
    assert [batch.pieces for batch in found.plan.batches] == [6, found.blanks]


def test_a_new_batch_makes_up_for_what_is_lacking() -> None:
    shop = planned_shop(3)
    begun(shop)
    found = promise(planner(shop), shop.pattern, 6, draws=DRAWS)
    assert found.taken == {shop.batch.id: 3}
    assert 3 < found.blanks < 9
    assert found.into is None
    first = found.plan.done(0)
    assert (found.ready_min >= first).all()
    assert np.mean(np.isfinite(found.ready_min)) >= 0.95


def test_a_batch_that_was_not_begun_takes_the_blanks_that_are_lacking() -> None:
    shop = planned_shop(3)
    order(shop, "Brook", "A", LATER)
    found = promise(planner(shop), shop.pattern, 6, draws=DRAWS)
    assert (found.into, found.told) == (shop.batch.id, 0)
    assert [batch.pieces for batch in found.plan.batches] == [3 + found.blanks]
    assert 4 <= found.blanks < 12
    assert np.mean(np.isfinite(found.ready_min)) >= 0.95
    assert (found.ready_min[np.isfinite(found.ready_min)] == found.plan.done(0)[np.isfinite(found.ready_min)]).all()


def test_more_than_sixty_blanks_is_told() -> None:
    shop = planned_shop(1)
    with pytest.raises(ShopError, match="80 would take more than 60 blanks"):
        promise(planner(shop), shop.pattern, 80, draws=DRAWS)


WEEKS = (0.8, 0.6, 0.9, 0.7, 0.8, 0.5, 0.9, 0.8)


def test_under_four_weeks_no_date_says_how_often_it_holds() -> None:
    shop = planned_shop(8)
    own = planner(shop)
    for known in ((), WEEKS[:3]):
        own.yields = known
        found = promise(own, shop.pattern, 2, draws=DRAWS)
        line = promise_text(shop.floor, found, None)
        assert re.fullmatch(
            r"2 knives by .+ if all planned hours are worked, by .+ if half of them are. It makes nobody else late.",
            line,
        )
        assert promise_text(shop.floor, found, LATER).startswith(
            "2 knives by Tue 1 Jun holds if all planned hours are worked, and also if half of them are."
        )
        soon = found.day(shop.floor, 0.8)
        assert soon is not None
        early = promise_text(shop.floor, found, soon - timedelta(days=1))
        assert "is too early even if all planned hours are worked: that brings " in early
    own.yields = WEEKS[:4]
    assert "times in" in promise_text(shop.floor, promise(own, shop.pattern, 2, draws=DRAWS), None)


def test_half_the_hours_take_twice_the_planned_time() -> None:
    """Evenings of three hours: what ends after two of them ends after four with half."""
    hours = planner(planned_shop(8)).plan(draws=10).hours
    first, fourth = hours.ends[0], hours.ends[3]
    two = float(hours.ends_at(np.array([hours.planned[2]]))[0])
    assert hours.at_half(np.array([two]))[0] == pytest.approx(fourth)
    assert hours.at_half(np.array([first]))[0] == pytest.approx(hours.ends[1])
    assert np.isinf(hours.at_half(np.array([hours.ends[-1]])))[0]


def test_the_answer_is_one_line() -> None:
    shop = planned_shop(8)
    own = planner(shop)
    own.yields = WEEKS
    found = promise(own, shop.pattern, 2, draws=DRAWS)
    days = [found.day(shop.floor, share) for share in (0.8, 0.95)]
    line = promise_text(shop.floor, found, LATER)
    assert line.startswith("2 knives by Tue 1 Jun holds nearly always; by ")
    assert line.endswith("19 times in 20. It makes nobody else late.")
    assert None not in days
    assert days == sorted(days, key=str)
    with pytest.raises(ShopError, match="Mon 1 Jun has gone by"):
        promise_text(shop.floor, found, date(2026, 6, 1))


def test_without_hours_no_date_is_told() -> None:
    shop = planned_shop(3, with_hours=False)
    with pytest.raises(ShopError, match="week has no hours yet"):
        promise(planner(shop), shop.pattern, 2, draws=DRAWS)


def test_what_it_rests_on_is_told() -> None:
    shop = planned_shop(3)
    own = planner(shop)
    assert own.rests_on == "No week with planned hours has been timed yet: counted as if each of them were worked."
    assert own.plan(draws=10).forecasts[0].said().startswith("No batches yet")


def test_a_batch_put_in_front_makes_the_other_late() -> None:
    shop = planned_shop(8)
    other = shop.new_batch(8)
    own = planner(shop)
    before = own.plan(draws=DRAWS)
    day = shop_time(before.done_us(0, 0.9) or 0, zone_of(shop.floor)).date()
    kept = order(shop, "Brook", "AB", day)
    assert [b.id for b in plan_order.in_order(shop.floor)] == [shop.batch.id, other.id]
    held = promises(shop.floor, planner(shop).plan(draws=DRAWS))[0]
    assert held.holds >= 0.8
    shop.press(lambda tx: plan_order.move(tx, other, -1))
    assert [b.id for b in plan_order.in_order(shop.floor)] == [other.id, shop.batch.id]
    moved = promises(shop.floor, planner(shop).plan(draws=DRAWS))[0]
    assert moved.order.id == kept.id
    assert moved.holds < held.holds
    shop.press(plan_order.by_promise)
    assert [b.id for b in plan_order.in_order(shop.floor)] == [shop.batch.id, other.id]


def test_an_order_without_letters_is_served_by_what_goes_to_nobody_and_never_where_that_is_too_little() -> None:
    shop = planned_shop(3)
    order(shop, "Ash", "A", LATER)
    for who, wanted in (("Brook", 2), ("Fen", 1)):
        shop.press(lambda tx, who=who, n=wanted: orders.take_order(tx, who, shop.pattern, n, LATER))
    found = planner(shop).plan(draws=2000)
    ash, brook, fen = promises(shop.floor, found)
    finished = found.forecasts[0].finished
    assert (ash.holds, brook.holds, fen.holds) == (np.mean(finished >= 1), np.mean(finished >= 3), 0.0)
    assert (ash.lacks, brook.lacks, fen.lacks) == (0, 0, 1)


def test_what_is_promised_without_letters_is_still_to_begin_where_the_open_batches_leave_too_little() -> None:
    """19 times in 20 four of three can't be there: blanks for it are counted after all that is open."""
    shop = planned_shop(3)
    assert planner(shop).owed(DRAWS) == ()
    shop.press(lambda tx: orders.take_order(tx, "Brook", shop.pattern, 4, LATER))
    own = planner(shop)
    (owed,) = own.owed(DRAWS)
    assert (owed.batch_id, owed.name, owed.pieces >= 1) == (None, shop.pattern.name, True)
    (brook,) = promises(shop.floor, own.plan(owed, draws=DRAWS))
    assert brook.holds > 0.9
    assert brook.lacks == 1


def test_who_is_promised_an_earlier_day_is_served_first_and_without_a_day_last() -> None:
    """Three go to nobody. Ash was promised two for June: who asks for May gets three, for July or any day one."""
    shop = planned_shop(3)
    begun(shop)
    shop.press(lambda tx: orders.take_order(tx, "Ash", shop.pattern, 2, LATER))
    own = planner(shop)
    for day, taken in ((date(2027, 5, 1), 3), (date(2027, 7, 1), 1), (None, 1)):
        found = promise(own, shop.pattern, 3, day, draws=DRAWS)
        assert found.taken == {shop.batch.id: taken}, day
        assert found.blanks >= 2, "both orders together lack two at least"
        assert np.mean(np.isfinite(found.ready_min)) >= 0.95


def test_whom_a_promise_would_push_back_is_said_though_he_has_no_letter() -> None:
    """Ash, without a letter, is promised two of three for a day that holds; two for the day before take them."""
    shop = planned_shop(3, route=BY_HAND)
    begun(shop)
    own = planner(shop)
    done = shop_time(own.plan(draws=DRAWS).done_us(0, 0.95) or 0, zone_of(shop.floor)).date()
    shop.press(lambda tx: orders.take_order(tx, "Ash", shop.pattern, 2, done + timedelta(days=1)))
    own = planner(shop)
    assert [held.order.who for held in promise(own, shop.pattern, 2, done, draws=DRAWS).late] == ["Ash"]
    assert promise(own, shop.pattern, 2, None, draws=DRAWS).late == ()


def test_a_batch_that_somebody_is_promised_an_earlier_day_of_is_worked_first_in_the_answer_too() -> None:
    """Brook is promised the first batch's pieces; who asks for the second's by a day before is served first."""
    shop = planned_shop(4, route=BY_HAND)
    other = shop.new_batch(4)
    own = planner(shop)
    brook = shop_time(own.plan(draws=DRAWS).done_us(0, 0.85) or 0, zone_of(shop.floor)).date()
    order(shop, "Brook", "ABCD"[:2], brook)
    order(shop, "Ash", "CD", brook)
    earlier = brook - timedelta(days=1)
    own = planner(shop)
    found = promise(own, shop.pattern, 2, earlier, draws=DRAWS)
    assert (found.taken, [b.batch_id for b in found.plan.batches]) == ({other.id: 2}, [other.id, shop.batch.id])
    assert [held.order.who for held in found.late] == ["Brook", "Ash"][: len(found.late)]
    order(shop, "Fen", "AB", earlier, other)
    after = planner(shop)
    assert [batch.batch_id for batch in after.open] == [other.id, shop.batch.id]
    fen = next(held for held in promises(shop.floor, after.plan(draws=DRAWS)) if held.order.who == "Fen")
    assert fen.holds == found.holds(shop.floor, earlier), "the answer is what the plan says once it is taken"


def test_a_day_that_does_not_hold_is_refused_with_the_next_that_does() -> None:
    shop = planned_shop(8)
    own = planner(shop)
    own.yields = WEEKS
    today = shop_time(shop.clock.now_us, zone_of(shop.floor)).date()
    found = promise(own, shop.pattern, 2, today, draws=DRAWS)
    line, next_day = promise_text(shop.floor, found, today), found.day(shop.floor, 0.8)
    assert next_day is not None
    assert line.startswith(
        f"Not by {day_text(today)}: that holds hardly ever. 2 knives by {day_text(next_day)}, 8 times in 10; by "
    )


def test_an_earlier_promise_goes_first() -> None:
    shop = planned_shop(3)
    other = shop.new_batch(3)
    order(shop, "Brook", "A", date(2026, 11, 20), other)
    assert [b.id for b in plan_order.in_order(shop.floor)] == [other.id, shop.batch.id]


def test_more_hours_and_larger_tools_bring_the_date_nearer_and_never_off() -> None:
    shop = planned_shop(8)
    shop.press(lambda tx: week.drop_hours(tx, week.week(shop.floor)[3]))
    own = planner(shop)
    capacities = {tool.id: 2 * tool.capacity for tool in shop.floor.all(Tool) if tool.capacity is not None}
    before = own.plan(draws=DRAWS).done(0)
    for change in (PlanChange(extra_hours=((3, 1140, 1260),)), PlanChange(capacities=capacities)):
        assert (own.plan(change=change, draws=DRAWS).done(0) <= before + 1e-6).mean() > 0.99
    sent = PlanChange(sent_out={shop.stage("Bevel").id: 0.0})
    assert (own.plan(change=sent, draws=DRAWS).done(0) < before).mean() > 0.9


def test_what_holds_a_batch_up_is_what_helps_most() -> None:
    shop = planned_shop(1)
    assert planner(shop).bottleneck(0).what == "waits"
    assert planner(planned_shop(12, route=BY_HAND)).bottleneck(0).what == "hours"


def test_day_by_day_work_lies_in_the_shops_hours_and_no_two_works_at_once() -> None:
    shop = planned_shop(5)
    found = planner(shop).plan(draws=DRAWS)
    told = day_by_day(found, 0)
    zone = zone_of(shop.floor)
    works = [one for one in told if one.work]
    for one, other in pairwise(works):
        assert other.start_us >= one.end_us - 1
    for one in works:
        start, end = shop_time(one.start_us + 1, zone), shop_time(one.end_us - 1, zone)
        assert (start.hour >= 18, end.hour < 21, start.date()) == (True, True, end.date()), one
    assert {one.name for one in told} == {step.name for step in found.batches[0].steps} - {"Harden"}
    assert max(one.end_us for one in told) == pytest.approx(found.done_us(0, 0.5), abs=60_000_000)


@pytest.mark.parametrize(
    ("share", "text"),
    [(1.0, "nearly always"), (0.95, "19 times in 20"), (0.93, "9 times in 10"), (0.81, "8 times in 10"),
     (0.55, "5 times in 10"), (0.31, "3 times in 10"), (0.06, "once in 10"), (0.04, "hardly ever")],
)  # fmt: skip
def test_how_often_is_said_in_words(share: float, text: str) -> None:
    assert times_text(share) == text


def test_who_was_promised_first_is_served_first_by_what_is_not_lost() -> None:
    """All six are promised: three to each. Lost pieces take from the later promise, never more from the earlier."""
    shop = planned_shop(6)
    for who, marks, day in (("Ash", "DEF", date(2027, 7, 1)), ("Brook", "ABC", LATER)):
        order(shop, who, marks, day)
    found = planner(shop).plan(draws=2000)
    brook, ash = promises(shop.floor, found)
    finished = found.forecasts[0].finished
    assert (brook.order.who, ash.order.who) == ("Brook", "Ash")
    assert (brook.holds, ash.holds) == (np.mean(finished >= 3), np.mean(finished >= 6))
    assert ash.holds < brook.holds
