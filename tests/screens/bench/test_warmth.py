"""A cure follows the shop's temperature: one press and the number pad, and it says when it is ready."""

from dataclasses import replace

from shopclock.record.check.check import check
from shopclock.screens.bench.state import Verb
from shopclock.shop.values.entities import RuleBroken, Step
from shopclock.views.button import Press
from tests.screens.bench.workshop import Workshop


def curing(shop: Workshop) -> Press:
    shop.batch("Paring 95", 3)
    shop.start("Glue up")
    shop.press(Verb.NEXT, 40)
    (wait,) = shop.running
    return Press(Verb.WARMTH, wait.id)


def test_a_cold_shop_is_ready_later_and_it_is_undone_like_anything_else(shop: Workshop) -> None:
    warmth = curing(shop)
    assert shop.state.plate.big is not None
    before = shop.state.plate.big.title
    state = shop.press(warmth, 1, ("15",))
    assert state.plate.line.startswith("Ready Sat 28 Nov 17:34 at 15 °C. Its leaflet decides.")
    assert state.plate.big is not None
    assert state.plate.big.title == "Cure until Sat 28 Nov 17:34"
    assert shop.record.next_undo is not None
    assert shop.record.next_undo.what == "Shop at 15 °C"
    undone = shop.press(Verb.UNDO).plate.big
    assert undone is not None
    assert undone.title == before
    assert check(shop.record.path) == []


def test_what_was_said_of_a_press_is_gone_when_somebody_comes_back_later(shop: Workshop) -> None:
    warmth = curing(shop)
    shop.press(warmth, 1, ("15",))
    shop.clock.go(14)
    assert shop.state.plate.line.startswith("Ready Sat")
    shop.clock.go(2)
    assert shop.state.plate.line == "Nothing to do by hand in this batch now"
    shop.bench.wake(shop.clock.moment())
    assert not shop.state.plate.urgent


def test_the_pad_begins_with_what_was_told_last_and_fahrenheit_is_understood(shop: Workshop) -> None:
    warmth = curing(shop)
    shop.press(warmth, 1, ("59",))
    assert shop.running[0].shop_c == 15.0
    shop.press(warmth, 1, (None,))
    assert shop.dialogs.asked[-1].start == "15"
    assert shop.running[0].shop_c == 15.0


def test_outside_the_figures_it_says_so_and_changes_nothing(shop: Workshop) -> None:
    warmth = curing(shop)
    shop.press(warmth, 1, ("4",))
    assert shop.asked().startswith("There is no figure outside 10 to 35 °C")
    assert shop.running[0].shop_c is None


def test_an_oven_does_not_follow_the_shop(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 3)
    state = shop.start("Temper 1", batch)
    assert "Shop's warmth" not in [tool.title for tool in state.plate.tools]
    shop.press(Press(Verb.WARMTH, shop.running[0].id), 1)
    assert shop.dialogs.asked == []


def test_shaping_before_the_cold_cure_is_over_warns_and_is_kept(shop: Workshop) -> None:
    warmth = curing(shop)
    shop.press(warmth, 1, ("15",))
    shop.clock.go(24 * 60)
    shop.press(Press(Verb.OUT, shop.running[0].id))
    line = shop.start("Shape handle").plate.line
    assert line == "A–C: Cure has not lasted its time."
    (broken,) = (b for b in shop.record.floor.all(RuleBroken) if "Shape" in shop.record.floor.get(Step, b.step_id).name)
    assert shop.record.floor.marks(broken.pieces) == ["A", "B", "C"]


def test_outside_the_limits_of_its_makers_it_says_so_and_changes_nothing(shop: Workshop) -> None:
    warmth = curing(shop)
    cure = shop.step("Cure")
    shop.record.press("Leaflet", lambda tx: tx.change(replace(tx.current(cure), coldest_c=18.0, warmest_c=30.0)))
    shop.press(warmth, 1, ("15",))
    pad = next(asked for asked in shop.dialogs.asked if asked.kind == "number")
    assert pad.words.endswith("The length holds for 25 °C, the figure for 18 to 30 °C")
    assert shop.asked().startswith("The makers of this resin allow 18 to 30 °C")
    assert shop.running[0].shop_c is None
