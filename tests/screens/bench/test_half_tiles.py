"""Batches at the top of half a Bench: a button each for two, one that asks for more; who works at them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench.at_bench import AtBench
from shopclock.screens.bench.state import Verb
from shopclock.shop.values.kinds import WorkKind
from shopclock.shop.work.makers import add_maker
from shopclock.views.button import Press

if TYPE_CHECKING:
    from tests.screens.bench.workshop import Workshop


def test_on_half_a_bench_two_batches_have_a_button_each_and_what_another_works_at_says_so(shop: Workshop) -> None:
    first, second = shop.batch("Paring 95", 5), shop.batch("Oyster", 3)
    shop.record.press("Maker", lambda tx: add_maker(tx, "Sam", shop.record.bench, "Ann"))
    ann, sam = AtBench(shop.record, shop.dialogs, shop.usual_at, shop.went.append).shown
    ann.press(Press(Verb.START, shop.step("Saw out", first).id), shop.clock.moment())
    ann.press(Press(Verb.START_BOTH, shop.step("Saw scales", first).id), shop.clock.moment())
    tiles = {b.title: b for b in sam.state(shop.record.instant()).top if b.verb == Verb.BATCH}
    assert [(b.detail, b.edge) for b in tiles.values()] == [
        ("Saw out  ·  Ann", "dye_text"),
        ("Saw out  ·  3 blades", ""),
    ]
    sam.press(tiles["26-01  Paring 95"].key, shop.clock.moment())
    assert sam.batch_id == first.id
    shop.batch("Cook's 180", 2, "Kitchen knife")
    asks = [b.title for b in sam.state(shop.record.instant()).top if b.verb == Verb.BATCHES]
    assert asks == ["26-01  Paring 95"]
    assert second.id not in {b.key.number for b in sam.state(shop.record.instant()).top if b.verb == Verb.BATCH}


def test_a_start_takes_nobody_out_of_anothers_set_up_though_all_are_done_there(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 3)
    shop.record.press("Maker", lambda tx: add_maker(tx, "Sam", shop.record.bench, "Ann"))
    ann, sam = AtBench(shop.record, shop.dialogs, shop.usual_at, shop.went.append).shown
    sam.press(Press(Verb.START, shop.step("Saw out", batch).id), shop.clock.moment())
    for verb in (Verb.DONE, Verb.DONE, Verb.DONE, Verb.SET_UP):
        shop.clock.go(5)
        sam.press(Press(verb), shop.clock.moment())
    ann.press(Press(Verb.START, shop.step("Profile", batch).id), shop.clock.moment())
    assert [(i.maker_id, i.work) for i in shop.running] == [(sam.maker_id, WorkKind.SETUP)]
