"""With more letters than fit, those through or lost stand as one: who is still to go keeps a full letter."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench.state import Verb
from shopclock.shop.values.entities import Step
from shopclock.shop.work import pieces
from shopclock.views.button import Press
from shopclock.widgets.letters import LetterRow
from tests.walks.walk import at_the_window, new_record, walk

if TYPE_CHECKING:
    from pathlib import Path

    from tests.screens.bench.workshop import Workshop

TWELVE = """
open shop
press Patterns
press Copy a route
seek Stock removal, carbon steel
type Creek paring
press New batch
press 12
press Go
press Start: Saw out
"""


def words(shop: Workshop) -> list[str]:
    return [f"{one.letter} {one.shown}" for one in shop.state.plate.shrunk]


def test_one_alone_that_is_through_keeps_its_letter_two_are_one(shop: Workshop) -> None:
    shop.batch("Paring 95", 4)
    shop.start("Saw out")
    shop.press(Verb.DONE, after_min=5)
    assert words(shop) == ["A through", "B to go", "C to go", "D to go"]
    shop.press(Verb.DONE, after_min=5)
    assert words(shop) == ["C to go", "D to go", "2 done"]
    (one,) = [letter for letter in shop.state.plate.shrunk if letter.letter == "2"]
    assert one.key == Press(Verb.PIECES_PAGE)


def test_lost_ones_are_counted_apart(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 4)
    shop.start("Saw out")
    shop.press(Verb.DONE, after_min=5)
    step = next(s for s in shop.record.floor.all(Step) if s.name == "Saw out")
    for piece in shop.record.floor.pieces(batch.id)[2:]:
        shop.record.press("Lost", lambda tx, p=piece: pieces.lose(tx, p, step, "cracked"))
    assert words(shop) == ["B to go", "1 done, 2 lost"]


def test_a_letter_that_takes_something_back_stays_for_so_long(shop: Workshop) -> None:
    shop.batch("Paring 95", 4)
    shop.start("Saw out")
    for _ in range(3):
        shop.press(Verb.DONE, after_min=5)
    shop.press(shop.letter("B"))
    assert words(shop) == ["B not yet", "D to go", "2 done"]
    shop.clock.go(0.2)
    assert words(shop) == ["D to go", "3 done"]


def test_twelve_are_behind_pieces_until_so_many_are_through_that_the_rest_fits(tmp_path: Path, qapp: object) -> None:
    with at_the_window(new_record(tmp_path / "shop.shopclock")) as hand:
        walk(hand, TWELVE + "work 9")
        assert not [row for row in hand.frame.findChildren(LetterRow) if row.isVisible()]
        walk(hand, "\n".join(f"press Done: {mark}\nwork 8" for mark in "ABCDE"))
        (row,) = [row for row in hand.frame.findChildren(LetterRow) if row.isVisible()]
        assert [tile.state.title for tile in row.tiles if tile.isVisible()] == [*"FGHJKLM", "5"]
        walk(hand, "press K\nwork 0.1")
        assert hand.record.next_undo is not None
        assert hand.record.next_undo.what == "Done: K"
