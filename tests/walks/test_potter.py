"""A pottery: the same program, which takes the words of the route that is copied, and nowhere speaks of knives."""

import re
from pathlib import Path

from PySide6.QtWidgets import QWidget

from shopclock.shop.values.entities import Piece
from shopclock.tour.window_hand import WindowHand
from tests.walks.walk import act, at_the_window, lines, new_record

KNIVES = re.compile(r"\b(blades?|kni(fe|ves)|forg(e|ed)|bevels?|steel|scales)\b", re.IGNORECASE)

WORDS = """
open shop
press Patterns
press Copy a route
press Mugs
type Tide mug
"""

STORY = """
press New batch
press 10
press Go
press Start: Weigh out clay
work 9
press Next: Wedge clay
work 20
press Next: Throw
work 15
press Pieces
press Back
press Not right
press D
press Lost
press too thin
work 30
press Yes, still at it
press Next: Stiffen
press Start: Pull handles
work 25
press All through
press Whole route
press Back
work 1300
press Take out
press Start: Trim
work 14
press Done: A
work 10
press Done: B
work 12
press Next: Join handles
work 40
press Yes, still at it
press Next: Dry through
open batches
press 26-01
press Close
press Back
open trends
press Throw
open shop
"""


def said(hand: WindowHand) -> list[str]:
    """All that the window says to a screen reader: every title, detail and sentence in it."""
    return [widget.accessibleName() for widget in hand.frame.findChildren(QWidget) if widget.isVisible()]


def test_a_pottery_never_reads_of_knives(tmp_path: Path, qapp: object) -> None:
    with at_the_window(new_record(tmp_path / "pots.shopclock")) as hand:
        for line in lines(WORDS):
            act(hand, line)
        read: list[str] = []
        for line in lines(STORY):
            act(hand, line)
            read += said(hand)
        floor = hand.record.floor
        assert sorted(p.mark for p in floor.all(Piece) if p.living) == list("ABCEFGHJK")
    assert [words for words in read if KNIVES.search(words)] == []
    assert any("9 mugs" in words for words in read)
    assert any("3 of 9" in words or "9 of 9" in words for words in read)
