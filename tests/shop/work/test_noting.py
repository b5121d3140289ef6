"""Notes on a stretch, a piece and a batch: by word or typed, read together, old notes among them."""

import pytest

from shopclock.shop.values.entities import ImportFile, ImportRow, Interval, Note, NoteWord
from shopclock.shop.values.errors import Refusal
from shopclock.shop.work import begin
from shopclock.shop.work.noting import Noted, add_note, note_words, notes_of, notes_on
from tests.shop.workshop import Shop


def test_a_note_is_about_one_thing_and_single_spaced() -> None:
    shop = Shop(2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    sawing = shop.runs()
    for about, text in ((sawing, " worn   belt "), (shop.piece("B"), "knot near the tip"), (shop.batch, "new steel")):
        shop.clock.on(1)
        shop.press(lambda tx, about=about, text=text: add_note(tx, about, text))
    found = [(n.interval_id, n.piece_id, n.batch_id, n.text) for n in shop.floor.all(Note)]
    assert found == [
        (sawing.id, None, None, "worn belt"),
        (None, shop.piece("B").id, None, "knot near the tip"),
        (None, None, shop.batch.id, "new steel"),
    ]
    assert [n.text for n in notes_on(shop.floor, shop.piece("B"))] == ["knot near the tip"]
    assert notes_on(shop.floor, shop.piece("A")) == ()


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("  ", "A note has a word at least. Nothing was noted."),
        ("x" * 201, "A note has at most 200 letters, this one 201. Nothing was noted."),
    ],
)
def test_an_empty_note_and_one_too_long_are_refused(text: str, why: str) -> None:
    shop = Shop(1)
    with pytest.raises(Refusal, match=why):
        shop.press(lambda tx: add_note(tx, shop.batch, text))
    assert list(shop.floor.all(Note)) == []


def test_all_notes_of_a_batch_are_read_by_when_and_old_notes_stand_among_them() -> None:
    shop = Shop(2)
    other = shop.new_batch(1)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    sawing = next(shop.floor.all(Interval))
    shop.clock.on(10)
    shop.press(lambda tx: add_note(tx, other, "not this one"))
    shop.press(lambda tx: add_note(tx, shop.piece("B"), "knot"))
    shop.clock.on(5)
    shop.press(lambda tx: add_note(tx, sawing, "worn belt"))
    file = shop.press(lambda tx: tx.add(ImportFile(name="book.csv", sha256="", at_us=0)))
    row = ImportRow(import_file_id=file.id, interval_id=sawing.id, row=3, known_by="", note="slow start")
    shop.press(lambda tx: tx.add(row))
    start_us, now_us = sawing.start_us, shop.clock.now_us
    assert notes_of(shop.floor, shop.batch.id, now_us) == (
        Noted("Saw, 21:00", "slow start", start_us),
        Noted("B", "knot", now_us - 300_000_000),
        Noted("Saw, 21:00", "worn belt", now_us),
    )


def test_the_shops_own_words_are_offered_in_their_order_without_those_put_away() -> None:
    shop = Shop(1)
    words = list(shop.floor.all(NoteWord))
    assert [word.name for word in note_words(shop.floor)] == [word.name for word in words]
    assert words
