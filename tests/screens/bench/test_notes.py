"""Notes at the Bench: a word of the shop's own by one press, or typed; about the work, the batch, or one piece."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench.state import Verb
from shopclock.shop.values.entities import Note, NoteWord

if TYPE_CHECKING:
    from tests.screens.bench.workshop import Workshop


def word(shop: Workshop, name: str) -> str:
    """The key of a word of the shop's own."""
    return next(f"word {w.id}" for w in shop.record.floor.all(NoteWord) if w.name == name)


def notes(shop: Workshop) -> list[tuple[bool, bool, bool, str]]:
    found = shop.record.floor.all(Note)
    return [(n.interval_id is not None, n.piece_id is not None, n.batch_id is not None, n.text) for n in found]


def test_what_runs_is_noted_by_one_of_the_shops_words(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(Verb.NOTE, 5, (word(shop, "worn belt"),))
    assert shop.asked() == "Note about Grind bevels"
    assert notes(shop) == [(True, False, False, "worn belt")]
    assert shop.bottom()[Verb.UNDO].detail == "Note: Grind bevels"
    assert shop.running_names() == ["Grind bevels"]


def test_a_note_can_be_typed_and_be_about_one_piece(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(Verb.NOTE, 5, ("typed", "too hot at the tip"))
    shop.press(Verb.NOTE, 1, ("piece", "B", "typed", "knot in it"))
    assert notes(shop) == [(True, False, False, "too hot at the tip"), (False, True, False, "knot in it")]


def test_a_note_that_is_too_long_is_told_and_stands_there_to_be_shortened(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    long = "the belt tears at the seam " * 40
    shop.press(Verb.NOTE, 5, ("typed", long, "the belt tears"))
    assert [asked.words.partition(" letters")[0] for asked in shop.dialogs.asked[-2:-1]] == ["A note has at most 200"]
    assert shop.dialogs.asked[-1].start == long
    assert notes(shop) == [(True, False, False, "the belt tears")]


def test_what_was_stopped_is_noted_and_behind_adjust_there_is_a_note_too(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(Verb.STOP, 9)
    shop.press(Verb.ADJUST, 1, ("note", word(shop, "interrupted")))
    assert notes(shop) == [(True, False, False, "interrupted")]


def test_before_a_start_a_note_is_about_the_batch_and_going_back_notes_nothing(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.press(Verb.NOTE, 0, (None,))
    shop.press(Verb.NOTE, 0, (word(shop, "trial"),))
    assert notes(shop) == [(False, False, True, "trial")]
