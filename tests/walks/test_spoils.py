"""Hardened and not tempered: it has the whole screen until the oven is on, over a power cut too."""

from pathlib import Path

from shopclock.record.check.check import check
from tests.walks.walk import at_the_window, new_record, shown, walk, walk_and_be_killed

TO_THE_CUT = """
open shop
press Patterns
press Copy a route
press Stock removal
type Creek paring
press New batch
press 4
press Go
press Whole route
press Harden
work 5
press Done: A
work 5
press Done: B
press Stop
press Seen
open today
work 20
"""
AGAIN = "A, B: Harden done, Temper 1 not begun."


def test_what_spoils_comes_up_over_any_screen_until_it_is_in_temper(tmp_path: Path, qapp: object) -> None:
    path = new_record(tmp_path / "shop.shopclock")
    cut = walk_and_be_killed(path, TO_THE_CUT)
    assert not any(words.startswith(AGAIN) for words in cut.shown)
    with at_the_window(path, cut.at_us + 60_000_000, boot_id="after the cut") as hand:
        assert {"Start: Temper 1", "Seen", "Carry on: Harden"} <= set(hand.reach)
        walk(hand, "press Seen\nopen shop\nwork 13")
        assert "Start: Temper 1" not in hand.reach
        assert "A, B: Temper 1 within 21 min" in shown(hand)
        walk(hand, "work 7")
        assert {"Start: Temper 1", "Seen"} <= set(hand.reach)
        walk(hand, "press Start: Temper 1")
        assert "Seen" not in hand.reach
        (temper,) = hand.record.floor.running.values()
        assert hand.record.floor.marks(temper.pieces) == ["A", "B"]
        walk(hand, "press Undo" if "Undo" in hand.reach else "open bench\npress Undo")
        assert "Start: Temper 1" in hand.reach
    assert check(path) == []
