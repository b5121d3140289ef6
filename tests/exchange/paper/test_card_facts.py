"""What the card says of a batch: read off the record, in the shop's own words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.exchange.paper.card_facts import Card, Row, card_facts
from shopclock.shop.planning import orders
from shopclock.shop.values.entities import ReadingKind
from shopclock.shop.work import pairs, readings
from tests.screens.batches.story import DAY_MIN, Shop

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.shop.values.entities import Batch


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A closed batch with a line for the next time; an open one of its pattern, C of it lost at the second step."""
    made = Shop(tmp_path)
    pattern = made.pattern("Paring 95")
    before = made.batch(pattern, 4)
    for step in made.floor.steps(before.id)[:4]:
        made.work(step, 40)
    made.clock.go(9 * DAY_MIN)
    made.close(before, "thinner before hardening")
    batch = made.batch(pattern, 5)
    steps = made.floor.steps(batch.id)
    made.work(steps[0], 30)
    made.work(steps[1], 20, marks="AB")
    made.lose(batch, "C", steps[1], "cracked")
    yield made
    made.record.close()


@pytest.fixture
def batch(shop: Shop) -> Batch:
    return shop.floor.open_batches()[0]


def card(shop: Shop, batch: Batch) -> Card:
    return card_facts(shop.record, batch.id, shop.record.instant())


def row(shop: Shop, batch: Batch, name: str) -> Row:
    return next(row for row in card(shop, batch).rows if row.name.startswith(name))


def test_a_box_is_ticked_where_the_piece_is_through_and_closed_where_it_was_lost(shop: Shop, batch: Batch) -> None:
    first, second, third = (row(shop, batch, step.name) for step in shop.floor.steps(batch.id)[:3])
    assert [cell.done for cell in first.cells] == [True] * 5
    assert [cell.done for cell in second.cells] == [True, True, False, False, False]
    assert (
        [cell.gone for cell in second.cells]
        == [cell.gone for cell in third.cells]
        == [False, False, True, False, False]
    )
    assert card(shop, batch).gone == (False, False, True, False, False)


def test_the_last_batch_leaves_its_minutes_and_its_line(shop: Shop, batch: Batch) -> None:
    told = card(shop, batch)
    name = min(shop.floor.all(type(batch)), key=lambda one: one.id).name
    assert told.last == f"last: {name}"
    assert told.next_time == f"Next time, from {name}: thinner before hardening"
    assert row(shop, batch, shop.floor.steps(batch.id)[0].name).notes[1] == "last bandsaw, 10.0 min each"


def test_a_first_batch_leaves_nothing_out_but_the_last_one(shop: Shop) -> None:
    alone = shop.batch(shop.pattern("Oyster"), 3)
    told = card(shop, alone)
    assert (told.last, told.next_time) == ("", "")
    assert len(told.rows) > len(shop.floor.steps(alone.id))


def test_a_skipped_step_is_not_on_it(shop: Shop, batch: Batch) -> None:
    step = shop.floor.steps(batch.id)[3]
    shop.skip(step)
    assert step.name not in [row.name for row in card(shop, batch).rows]


def test_settings_waits_and_what_has_to_follow_in_time_stand_beside_the_step(shop: Shop, batch: Batch) -> None:
    assert row(shop, batch, "Harden").notes[0] == "800 °C"
    assert row(shop, batch, "Temper 1").notes[0] == "within 1 h of Harden, 200 °C, wait 2 h"
    assert row(shop, batch, "Cure").notes[0] == "wait 24 h"


def test_readings_have_their_target_the_last_value_and_what_was_measured(shop: Shop, batch: Batch) -> None:
    kind = next(kind for kind in shop.floor.all(ReadingKind) if kind.name == "Hardness")
    step = next(step for step in shop.floor.steps(batch.id) if step.stage_id == kind.stage_id)
    b = shop.floor.pieces(batch.id)[1]
    shop.record.press("Reading", lambda tx: readings.take(tx, kind, step, b, "59.5"))
    told = row(shop, batch, "Hardness")
    assert told.name == "Hardness, HRC"
    assert told.notes == ("60 HRC, 57 to 62 HRC", "")
    assert [cell.text for cell in told.cells] == ["", "59.5", "", "", ""]
    later = shop.batch(shop.floor.get(type(shop.pattern("x")), batch.pattern_id), 2)
    assert row(shop, later, "Hardness").notes[1] == "last 59.5 HRC"


def test_pairs_numbers_and_whose_it_is(shop: Shop, batch: Batch) -> None:
    a, b, *_ = shop.floor.pieces(batch.id)
    pattern = next(p for p in shop.floor.all(type(shop.pattern("x"))) if p.id == batch.pattern_id)
    order, _ = shop.record.press("Order", lambda tx: orders.take_order(tx, "Hollin", pattern, 2))
    shop.record.press("Tie", lambda tx: orders.tie(tx, order, a))
    shop.record.press("Tie", lambda tx: orders.tie(tx, order, b))
    pair, _ = shop.record.press("Pair", lambda tx: pairs.tie(tx, a, "12"))
    assert pair is not None
    shop.record.press("Note", lambda tx: pairs.set_note(tx, pair, "plum burl"))
    assert card(shop, batch).whose == "for Hollin: A, B"
    told = row(shop, batch, "Pair of scales")
    assert told.cells[0].text == "12"
    assert told.notes[0] == "12 plum burl"


def test_each_caution_is_said_once_with_its_stages(shop: Shop, batch: Batch) -> None:
    said = card(shop, batch).cautions
    assert len(said) == len({caution.partition(": ")[2] for caution in said})
    assert any(caution.startswith("Harden: ") for caution in said)
