"""A reserved piece that is lost says so there and then: another in its place, or short by one."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from shopclock.screens.batches.presenter import BatchesPresenter
from shopclock.screens.bench.state import Verb
from shopclock.shop.planning import orders
from shopclock.shop.values.entities import CustomerOrder, Pattern
from tests.screens.bench.workshop import Workshop

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    """Three pieces on the bench, under the hands."""
    made = Workshop.open(tmp_path / "shop.shopclock")
    made.batch("Oyster", 3)
    made.start("Profile")
    yield made
    made.record.close()


def promised(shop: Workshop, who: str, wanted: int) -> CustomerOrder:
    pattern = next(shop.record.floor.all(Pattern))
    found, _ = shop.record.press(
        "Order", lambda tx: orders.take_order(tx, who, pattern, wanted, date(2027, 6, 1)), undoable=True
    )
    return found


def reserved(shop: Workshop, who: str, wanted: int) -> CustomerOrder:
    order = promised(shop, who, wanted)
    shop.record.press("Reserve", lambda tx: orders.reserve(tx, order), undoable=True)
    return order


def letters(shop: Workshop, order: CustomerOrder) -> str:
    return "".join(sorted(piece.mark for piece in orders.pieces_of(shop.record.floor, order)))


def test_the_bench_says_whose_a_lost_piece_was_and_gives_another(shop: Workshop) -> None:
    order = reserved(shop, "Orla", 2)
    shop.press(Verb.NOT_RIGHT, 1, ("B", "lost", "cracked", "give"))
    assert shop.asked() == "B was Orla's; C is free"
    assert [choice.label for choice in shop.dialogs.asked[-1].choices] == ["Give Orla C", "Short by one"]
    assert letters(shop, order) == "AC"
    assert shop.bench.undo_names == "C for Orla"
    shop.record.undo()
    assert letters(shop, order) == "A"
    shop.record.undo()
    assert letters(shop, order) == "AB"


def test_where_no_other_is_free_it_is_short_by_one_and_the_order_comes_in_sight(shop: Workshop) -> None:
    order = reserved(shop, "Orla", 3)
    shop.press(Verb.NOT_RIGHT, 1, ("B", "lost", "cracked", "short"))
    assert shop.asked() == "B was Orla's; no other is free"
    assert shop.offered() == ["short"]
    assert (letters(shop, order), shop.went) == ("AC", ["order"])
    assert orders.short(shop.record.floor, order) == 1


def test_a_second_can_stay_with_whom_it_was_promised_to(shop: Workshop) -> None:
    order = reserved(shop, "Orla", 2)
    shop.press(Verb.NOT_RIGHT, 1, ("B", "second", "leave"))
    assert shop.asked() == "B, a second, is Orla's; C is free"
    assert letters(shop, order) == "AB"
    shop.press(Verb.NOT_RIGHT, 1, ("A", "second", "give"))
    assert letters(shop, order) == "BC"


def test_a_piece_for_nobody_is_asked_about_only_where_it_was_needed(shop: Workshop) -> None:
    promised(shop, "Orla", 2)
    shop.press(Verb.NOT_RIGHT, 1, ("B", "lost", "cracked"))
    assert shop.asked() == "Why is B lost"
    shop.press(Verb.NOT_RIGHT, 1, ("A", "lost", "cracked", "short"))
    assert shop.asked() == "A was needed: none is left for Orla"
    assert shop.went == ["order"]


def test_set_aside_and_what_is_nobodys_is_not_asked_about(shop: Workshop) -> None:
    reserved(shop, "Orla", 1)
    shop.press(Verb.NOT_RIGHT, 1, ("A", "aside"))
    assert shop.asked() == "What about A"
    shop.press(Verb.NOT_RIGHT, 1, ("C", "lost", "cracked"))
    assert shop.asked() == "Why is C lost"


def test_the_page_of_a_piece_asks_the_same(shop: Workshop) -> None:
    order = reserved(shop, "Orla", 1)
    batches = BatchesPresenter(shop.record, shop.dialogs, shop.go, lambda: None)
    batches.press(f"batch {shop.record.floor.open_batches()[0].id}")
    batches.press("pieces")
    batches.press(f"piece {shop.piece('A').id}")
    shop.dialogs.answers = ["give"]
    batches.press("kept")
    assert shop.asked() == "A was Orla's; B is free"
    assert letters(shop, order) == "B"
