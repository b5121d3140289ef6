"""From the Bench: the day's times are two presses away, a done mark is moved, a cure follows the shop's warmth."""

from pathlib import Path

from shopclock.record.check.check import check
from shopclock.shop.values.entities import Interval
from tests.walks.walk import at_the_window, new_record, walk

TO_THE_BEVELS = """
open shop
press Patterns
press Copy a route
press Stock removal
type Creek paring
press New batch
press 3
press Go
press Whole route
press Grind bevels
work 10
press Done: A
work 10
press Done: B
work 10
press Adjust
press Amend times
"""
MINUTE_US = 60_000_000


def test_a_done_mark_is_moved_from_the_bench_on(tmp_path: Path, qapp: object) -> None:
    path = new_record(tmp_path / "shop.shopclock")
    with at_the_window(path) as hand:
        walk(hand, TO_THE_BEVELS)
        (bevels,) = hand.record.floor.running.values()
        was = [tally.at_us for tally in hand.record.floor.hands.done_in(bevels)]
        interval = next(words for words in hand.reach if "Grind bevels" in words)
        hand.press(interval)
        walk(hand, "press Done: A, B")
        later = [words for words in hand.reach if words.startswith("+ 1 min")]
        assert len(later) == 2
        hand.press(later[0])
        now = [tally.at_us for tally in hand.record.floor.hands.done_in(hand.record.floor.get(Interval, bevels.id))]
        assert now == [was[0] + MINUTE_US, was[1]]
        walk(hand, "press Undo")
        assert [t.at_us for t in hand.record.floor.hands.done_in(bevels)] == was
    assert check(path) == []


TO_THE_CURE = """
open shop
press Patterns
press Copy a route
press Stock removal
type Creek paring
press New batch
press 3
press Go
press Whole route
press Glue up
work 30
press Yes, still at it
press Next: Cure
press Shop's warmth
"""


def test_a_cold_shop_makes_the_cure_longer(tmp_path: Path, qapp: object) -> None:
    path = new_record(tmp_path / "shop.shopclock")
    with at_the_window(path) as hand:
        walk(hand, TO_THE_CURE + "press 1\npress 5\npress OK")
        (cure,) = hand.record.floor.running.values()
        assert cure.shop_c == 15
        assert any("Sat 24 Oct 19:00" in words for words in [*hand.reach, *hand.read])
    assert check(path) == []
