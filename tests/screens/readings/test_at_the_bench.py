"""Reading at the Bench: whose, what, the number pad with the last batch's value."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from shopclock.screens.bench.state import Verb
from shopclock.shop.values.entities import Reading, ReadingKind
from shopclock.shop.values.habits import Habits
from shopclock.shop.work.readings import reading_text
from shopclock.views.button import Press
from tests.screens.bench.workshop import Workshop

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    made = Workshop.open(tmp_path / "shop.shopclock")
    yield made
    made.record.close()


def kind(shop: Workshop, name: str) -> str:
    return str(next(k.id for k in shop.record.floor.all(ReadingKind) if k.name == name))


def taken(shop: Workshop) -> list[str]:
    floor = shop.record.floor
    return [reading_text(floor, reading) for reading in floor.all(Reading)]


def test_letter_kind_number(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    state = shop.press(Verb.READING, answers=("B", kind(shop, "Hardness"), "59.5 HRC"))
    assert taken(shop) == ["Hardness 59.5 HRC"]
    assert next(shop.record.floor.all(Reading)).piece_id == shop.piece("B").id
    assert not state.plate.urgent
    pad = shop.dialogs.asked[-1]
    assert (pad.words, pad.start, pad.units) == ("Hardness of B", "", ("HRC",))
    assert pad.note == "57 to 62 HRC, target 60 HRC, common practice"


def test_outside_its_limits_is_said_on_the_plate_and_at_its_letter(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    state = shop.press(Verb.READING, answers=("B", kind(shop, "Hardness"), "56 HRC"))
    assert (state.plate.line, state.plate.urgent) == ("B: Hardness 56 HRC, below 57 HRC.", True)
    shop.press(Verb.READING, answers=(None,))
    shown = next(choice for choice in shop.dialogs.asked[-1].choices if choice.key == "B")
    assert (shown.detail, shown.role) == ("Hardness 56 HRC, below 57 HRC", "red")


def test_the_last_batchs_value_is_offered_in_its_unit_and_this_batchs_is_not(
    shop: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        "shopclock.shop.values.habits._Held.habits", Habits(decimal=",")
    )  # the pad writes its own point
    first = shop.batch("Paring 95", 3)
    edge = kind(shop, "Edge before sharpening")
    shop.press(Verb.READING, answers=("A", edge, "8 thousandths"))
    second = shop.batch("Paring 95", 3)
    shop.press(Press(Verb.BATCH, second.id))
    shop.press(Verb.READING, answers=("A", edge, "0.2 mm"))
    pad = shop.dialogs.asked[-1]
    assert (pad.start, pad.units) == ("8", ("thousandths", "mm", "in"))
    assert pad.note.endswith("last batch 8 thousandths")
    shop.press(Verb.READING, answers=("B", edge, None))
    assert shop.dialogs.asked[-1].start == "8"
    shop.press(Press(Verb.BATCH, first.id))
    shop.press(Verb.READING, answers=("B", edge, None))
    assert shop.dialogs.asked[-1].start == "0.2"


def test_a_whole_load_has_a_reading_of_its_own(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 3)
    shop.start("Temper 1", batch)
    shop.press(Press(Verb.SHOW, shop.running[0].step_id))
    shop.press(Verb.READING, answers=(f"load:{shop.step('Temper 1').id}", kind(shop, "Hardness"), "60 HRC"))
    reading = next(shop.record.floor.all(Reading))
    assert (reading.piece_id, reading.step_id) == (None, shop.step("Temper 1").id)


def test_what_the_oven_showed_is_a_reading_of_the_load_beside_its_target(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 3)
    shop.start("Temper 1", batch)
    shop.press(Press(Verb.SHOW, shop.running[0].step_id))
    stage = shop.step("Temper 1").stage_id
    oven = next(k for k in shop.record.floor.all(ReadingKind) if k.name == "Oven reading" and k.stage_id == stage)
    shop.press(Verb.READING, answers=(f"load:{shop.running[0].step_id}", str(oven.id), "397 °F"))
    whose = next(asked for asked in shop.dialogs.asked if asked.words == "Reading of which one").choices
    assert [choice.detail for choice in whose if choice.label == "The whole load"] == ["Temper 1"]
    offered = next(asked for asked in shop.dialogs.asked if asked.words == "What was measured of the load").choices
    ovens = [choice.detail for choice in offered if choice.label == "Oven reading"]
    assert ovens == ["Temper  ·  target 200 °C", "Harden  ·  target 800 °C"]
    shop.press(Press(Verb.OUT, shop.running[0].id), answers=("yes",))
    shop.press(Verb.READING, answers=(None,))
    assert not any(choice.label == "The whole load" for choice in shop.dialogs.asked[-1].choices)
    reading = next(shop.record.floor.all(Reading))
    assert (reading.measured, reading.unit, reading.target, reading.target_unit) == ("397", "°F", "200", "°C")
    assert reading.load_id is not None


def test_what_lies_in_no_tool_is_no_load(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(Verb.READING, answers=(None,))
    assert [choice.label for choice in shop.dialogs.asked[-1].choices] == ["A", "B", "C"]


def test_what_is_not_understood_is_told_and_nothing_kept(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.press(Verb.READING, answers=("B", kind(shop, "Hardness"), "5/ HRC"))
    assert taken(shop) == []
    assert shop.asked() == "5/ HRC is not understood: type 0.8, 3/32 or 1-3/32. Nothing was changed."


@pytest.mark.parametrize("answers", [(None,), ("B", None), ("B", "kind", None)])
def test_going_back_at_any_question_keeps_nothing(shop: Workshop, answers: tuple[str | None, ...]) -> None:
    shop.batch("Paring 95", 3)
    shop.press(Verb.READING, answers=tuple(kind(shop, "Hardness") if a == "kind" else a for a in answers))
    assert taken(shop) == []


def test_it_is_in_reach_behind_adjust_too_and_undo_takes_it_back(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 3)
    shop.start("Grind bevels", batch)
    shop.press(Verb.ADJUST, answers=("reading", "C", kind(shop, "Edge before sharpening"), "3/32 in"))
    assert taken(shop) == ["Edge before sharpening 3/32 in, above 0.01 in"]
    assert shop.bottom()[Verb.UNDO].detail == "Edge before sharpening: C"
    shop.press(Verb.UNDO)
    assert taken(shop) == []


def test_where_nothing_is_measured_there_is_no_button(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    assert [tool.verb for tool in shop.state.plate.tools] == [Verb.READING]
    for found in list(shop.record.floor.all(ReadingKind)):
        shop.record.press("away", lambda tx, found=found: tx.change(replace(tx.current(found), put_away=True)))
    assert shop.state.plate.tools == ()
