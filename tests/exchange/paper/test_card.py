"""The card for the wall: everything on it, on one page, and nothing over anything else."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopclock.exchange.paper.card import MOST_PIECES, card_pages
from shopclock.exchange.paper.card_facts import Card, Cell, Row
from shopclock.exchange.paper.page import A4, LETTER, Box, PaperFill, PaperSize, Text
from shopclock.shop.values.marks import marks
from tests.exchange.paper.layout import assert_sound, over_each_other

NAME = "Oyster knife, bog oak handle, brass pins"
CAUTION = "Lid and extinguisher at hand, no water near quench oil; follow the steel maker's sheet."
NEXT = "Next time, from 26-07: glue up in two goes, five and five, and thin the tang before hardening, not after."


def made(n: int, steps: int) -> Card:
    """A card with so many letters and steps, and names as long as they may be."""
    cells = tuple(Cell(done=i < 4, gone=i == 6) for i in range(n))
    numbers = Row("Number", ("", ""), tuple(Cell(f"26-10-{i:03d}") for i in range(n)))
    notes = (
        "within 1 h 30 of Quench in warm oil, 800 °C, wait 24 h",
        "last 795 °C, freehand on the belt, 114.6 min each",
    )
    rows = [Row(f"{i} {NAME}"[:40], notes, cells, timed=True) for i in range(steps)]
    readings = [Row(f"Thickness {i}, mm", ("2.4 mm, 2.3 to 2.5 mm", "last 2.41 mm"), cells) for i in range(4)]
    return Card(
        shop="Gullfallow Creek",
        batch="26-10",
        about=NAME,
        as_of="12 blades, begun Wed 11 Nov 2026. As it stood on Wed 25 Nov 2026.",
        whose="for Orla, two doors down: A, B; for Hollin: D–H",
        marks=marks(n),
        gone=tuple(i == 6 for i in range(n)),
        rows=(numbers, *rows, *readings),
        cautions=tuple(f"Stage {i}: {CAUTION}" for i in range(14)),
        last="last: 26-07",
        next_time=NEXT,
    )


@pytest.mark.parametrize("size", [A4, LETTER], ids=lambda size: size.name)
@pytest.mark.parametrize(("n", "steps"), [(1, 1), (7, 21), (12, 25), (14, 4)])
def test_a_batch_is_on_one_page_and_nothing_covers_anything(size: PaperSize, n: int, steps: int) -> None:
    (page,) = card_pages(made(n, steps), size)
    assert_sound(page)
    assert page.size == size


@pytest.mark.parametrize("size", [A4, LETTER], ids=lambda size: size.name)
def test_more_than_a_page_holds_goes_on_with_its_head_and_loses_nothing(size: PaperSize) -> None:
    card = made(40, 60)
    pages = card_pages(card, size)
    for page in pages:
        assert_sound(page)
        assert page.texts[0] == "26-10"
    letters = [text for page in pages for text in page.texts]
    assert set(card.marks) <= set(letters)
    sets = -(-40 // MOST_PIECES)
    assert [letters.count(row.name) for row in card.rows] == [sets] * len(card.rows)


def test_every_letter_has_a_box_at_every_line_and_the_lost_one_no_white_one() -> None:
    card = made(12, 25)
    (page,) = card_pages(card, A4)
    boxes = [item for item in page.items if isinstance(item, Box)]
    assert len(boxes) == 12 * len(card.rows)
    assert sum(box.fill is not PaperFill.NONE for box in boxes) == len(card.rows) - 1


def test_the_line_for_the_next_time_can_be_read_in_full() -> None:
    (page,) = card_pages(made(12, 25), LETTER)
    assert NEXT in " ".join(page.texts)


def test_letters_over_each_other_would_be_seen() -> None:
    (page,) = card_pages(made(3, 3), A4)
    first = next(item for item in page.items if isinstance(item, Text))
    doubled = type(page)(page.size, (*page.items, first))
    assert over_each_other(doubled) == [(first.text, first.text)]


def test_a_note_that_is_too_wide_is_broken_after_a_comma_and_not_cut() -> None:
    note = "within 1 h of Harden, 200 °C, wait 2 h"
    card = replace(made(14, 3), rows=(Row("Temper 1", (note, ""), tuple(Cell() for _ in range(14)), timed=True),))
    (page,) = card_pages(card, LETTER)
    assert_sound(page)
    own = [text for text in page.texts if text in f"{note}," or text.rstrip(",") in note]
    assert " ".join(text for text in own if "within" in text or "wait" in text) == note
