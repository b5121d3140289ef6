"""The commands that answer: each as text, and as JSON the same in values; what the screens say they say too."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import jsonschema
import pytest
from click.testing import CliRunner

from shopclock.commands import main
from shopclock.commands.answer_keys import ANSWERS, schema_of
from shopclock.commands.common import instant_us
from shopclock.record.file.lock import RecordLock
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.planning.orders import open_orders
from shopclock.shop.values.clock import SystemClock

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


FORMATS = jsonschema.FormatChecker(["date"])


@pytest.fixture(scope="module")
def demo(copied_demo: Callable[..., Path]) -> Path:
    """The demo shop as it stands now: the commands look at this machine's clock."""
    return copied_demo(instant_us())


def said(*words: str) -> str:
    done = CliRunner().invoke(main.commands, list(words))
    assert done.exit_code == 0, done.output
    return done.output


def told(*words: str) -> dict[str, Any]:
    found = json.loads(said(*words, "--json"))
    assert found["format"] == 1
    return dict(found)


@pytest.mark.parametrize(
    "words",
    [
        ("trend", "bevels"),
        ("promise", "Paring", "4", "--by", "2099-12-31"),
        ("plan",),
        ("next-batch", "oyster", "6"),
        ("orders",),
        ("costs",),
    ],
)
def test_each_answer_is_there_as_text_and_as_json(demo: Path, words: tuple[str, ...]) -> None:
    assert said(*words, "--record", str(demo)).strip()
    assert len(told(*words, "--record", str(demo))) > 1


ASKED: dict[str, tuple[str, ...]] = {
    "figures": ("figures", "26-07"),
    "trend": ("trend", "bevels"),
    "promise": ("promise", "Paring", "4", "--by", "2099-12-31"),
    "next-batch": ("next-batch", "oyster", "6"),
    "plan": ("plan",),
    "orders": ("orders",),
    "costs": ("costs",),
    "status": ("status",),
    "start": ("start", "bevels"),
    "done": ("done",),
    "next": ("next",),
    "stop": ("stop",),
    "undo": ("undo", "--yes"),
}
"""A call of each command that answers with JSON, `export` apart; the presses in an order in which each is taken."""


def fits(name: str, answer: object) -> list[str]:
    """What speaks against an answer by its schema."""
    validator = jsonschema.Draft202012Validator(schema_of(name), format_checker=FORMATS)
    return [error.message for error in validator.iter_errors(answer)]


def test_every_answer_is_as_its_schema_says(copied_demo: Callable[..., Path]) -> None:
    demo = copied_demo(instant_us())
    assert {*ASKED, "export"} == set(ANSWERS)
    for name, words in ASKED.items():
        done = CliRunner().invoke(main.commands, [*words, "--json", "--record", str(demo)])
        assert fits(name, json.loads(done.stdout)) == []
    exported = CliRunner().invoke(main.commands, ["export", "-", "--as", "json", "--record", str(demo)])
    assert fits("export", json.loads(exported.stdout)) == []


def test_an_empty_shop_answers_as_the_schemas_say_too(tmp_path: Path) -> None:
    empty = str(tmp_path / "empty.shopclock")
    said("new", empty)
    for name in ("figures", "plan", "orders", "costs", "status", "stop"):
        done = CliRunner().invoke(main.commands, [name, "--json", "--record", empty])
        found = fits(name, json.loads(done.stdout))
        assert [what for what in found if "is a required property" not in what] == []


@pytest.mark.parametrize("name", sorted(ANSWERS))
def test_each_schema_is_one_and_refuses_what_it_does_not_name(name: str) -> None:
    printed = json.loads(said("schema", name))
    jsonschema.Draft202012Validator.check_schema(printed)
    assert "Additional properties are not allowed ('more' was unexpected)" in fits(name, {"more": 1})


def test_a_date_that_is_none_does_not_fit() -> None:
    answer = {"format": 1, "pattern": "x", "wanted": 1, "by": "7/3/26", "answer": {}}
    assert any("'7/3/26'" in what for what in fits("promise", answer))


def test_a_trend_is_told_in_the_sentences_of_the_screen_and_batch_by_batch(demo: Path) -> None:
    found = told("trend", "Grind bevels", "--record", str(demo))
    text = said("trend", "bev", "--record", str(demo))
    assert all(sentence.replace("\u00a0", " ") in text for sentence in found["sentences"])
    assert {one["method"] for one in found["batches"]} >= {"freehand", "jig"}
    firsts = [one["first_piece"] for one in found["batches"] if one["method"] == "freehand"]
    assert firsts == sorted(firsts)


def test_a_stage_that_may_be_several_is_asked_for_by_more_of_its_name(
    demo: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main.main(["trend", "grind", "--record", str(demo)]) == 1
    assert capsys.readouterr().err.startswith("'grind' may be Grind tip, Grind bevels")
    assert main.main(["trend", "welding", "--record", str(demo)]) == 1
    assert capsys.readouterr().err.startswith("There is no stage 'welding'. There are: ")


def test_costs_add_up_in_their_smallest_coin(demo: Path) -> None:
    found = told("costs", "--record", str(demo))
    names = ("labour", "material", "consumables", "bought_out", "overhead", "fees", "carried")
    whole = [one for pattern in found["patterns"] for one in (pattern, *pattern["batches"])]
    assert len(whole) > 20
    for one in whole:
        assert round(sum(float(one[name]) for name in names), 2) == float(one["cost"])


def test_orders_are_those_that_are_open_by_promise(demo: Path) -> None:
    with ReadOnlyRecord.open(demo) as reading:
        names = [order.who for order in open_orders(reading.floor)]
    assert [one["who"] for one in told("orders", "--record", str(demo))["orders"]] == names


def test_a_promise_takes_no_order(demo: Path) -> None:
    before = demo.read_bytes()
    found = told("promise", "Cook", "2", "--by", "2099-12-31", "--record", str(demo))
    assert (found["pattern"], found["by"]) == ("Cook's 180", "2099-12-31")
    assert demo.read_bytes() == before


def test_new_makes_an_empty_record_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "mine.shopclock"
    assert main.main(["new", str(path), "--zone", "Europe/Lisbon"]) == 0
    assert main.main(["check", "--record", str(path)]) == 0
    made = path.read_bytes()
    capsys.readouterr()
    assert main.main(["new", str(path)]) == 1
    assert "is there already. Nothing was changed." in capsys.readouterr().err
    assert path.read_bytes() == made


@pytest.mark.parametrize(
    ("path", "zone", "why"),
    [("mine.shopclock", "Atlantis/Here", "no time zone"), ("nowhere/mine.shopclock", "UTC", "There is no folder")],
)
def test_a_record_that_cant_be_made_leaves_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], path: str, zone: str, why: str
) -> None:
    assert main.main(["new", str(tmp_path / path), "--zone", zone]) == 1
    assert why in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_an_empty_record_answers_in_sentences(tmp_path: Path) -> None:
    path = tmp_path / "mine.shopclock"
    Record.open(path, SystemClock(), make=True, zone="UTC").close()
    assert said("plan", "--record", str(path)) == "No batch is open, so there is nothing to plan.\n"
    assert said("orders", "--record", str(path)) == "No open orders.\n"
    assert "No closed batch tells a cost yet." in said("costs", "--record", str(path))


def test_import_says_what_it_would_make_while_a_window_is_open(tmp_path: Path) -> None:
    path, notes = tmp_path / "mine.shopclock", tmp_path / "notes.csv"
    Record.open(path, SystemClock(), make=True, zone="UTC").close()
    notes.write_text("Date;Batch;Task;Time;Qty\n7.3.26;K1;Drawing;1:20 h;6\n", encoding="utf-8")
    window = RecordLock(path)
    assert window.take() is None
    try:
        text = said("import", str(notes), "--record", str(path), "--dry-run")
    finally:
        window.release()
    assert "1 batch to make" in text
    assert text.splitlines()[-1] == "Nothing was changed."
