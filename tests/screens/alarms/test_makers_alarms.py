"""Alarms where two makers work: what one presses leaves no doubt about nothing of the other's."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.alarms.presenter import AlarmPresenter
from shopclock.screens.bench.at_bench import AtBench
from shopclock.screens.bench.state import Verb
from shopclock.shop.recovery.questions import open_questions
from shopclock.shop.values.entities import Interval, Maker
from shopclock.shop.work.makers import add_maker
from shopclock.views.button import Press

if TYPE_CHECKING:
    from tests.screens.alarms.stories import Alarmed


def test_a_stop_that_the_helper_forgot_is_sure_until_the_helpers_own_last_press(shop: Alarmed) -> None:
    batch = shop.batch("Paring 95", 7)
    shop.record.press("Maker", lambda tx: add_maker(tx, "Sam", shop.record.bench, "Ann"))
    at_bench = AtBench(shop.record, shop.dialogs, shop.usual_at, shop.went.append)
    ann, sam = at_bench.shown
    sam.press(Press(Verb.START, shop.step("Saw scales", batch).id), shop.clock.moment())
    begun_us = shop.record.instant()
    ann.press(Press(Verb.START, shop.step("Saw out", batch).id), shop.clock.moment())
    for _ in range(7):
        shop.tick(20)
        ann.press(Press(Verb.DONE), shop.clock.moment())
    shop.tick(12)
    asked = {
        shop.record.floor.get(Interval, q.about_id or 0).maker_id: q.sure_us for q in open_questions(shop.record.floor)
    }
    helper = next(maker for maker in shop.record.floor.all(Maker) if maker.name == "Sam")
    assert asked == {helper.id: begun_us}


def test_a_question_about_the_helpers_work_has_the_helpers_row_and_stop_leaves_its_place_empty(shop: Alarmed) -> None:
    first, second = shop.batch("Paring 95", 5), shop.batch("Oyster", 3)
    shop.record.press("Maker", lambda tx: add_maker(tx, "Sam", shop.record.bench, "Ann"))
    at_bench = AtBench(shop.record, shop.dialogs, shop.usual_at, shop.went.append)
    alarms = AlarmPresenter(shop.record, shop.dialogs, at_bench, shop.watch.usual_of)
    ann, sam = at_bench.shown
    sam.press(Press(Verb.START, shop.step("Saw out", second).id), shop.clock.moment())
    ann.press(Press(Verb.START, shop.step("Saw out", first).id), shop.clock.moment())
    shop.tick(600)
    asked = alarms.state()
    assert asked is not None
    assert asked.line == "Sam  ·  26-02  ·  A–C"
    assert [(b.title, b.detail) for b in asked.bottom[:2]] == [("Stop", "Sam"), ("Next: Profile", "A–C")]
    alarms.press(asked.bottom[0].key, shop.clock.moment())
    assert [i.maker_id for i in shop.running] == [ann.maker_id]
    ended = alarms.state()
    assert ended is not None
    assert (ended.bottom[0].title, ended.bottom[0].enabled) == ("Stopped", False)
    alarms.press(ended.answers[0].key, shop.clock.moment())
    other = alarms.state()
    assert other is not None
    assert other.line == "Ann  ·  26-01  ·  A–E"
    assert [(b.title, b.detail) for b in other.bottom[:2]] == [("Stop", "Ann"), ("Next: Profile", "A–E")]
