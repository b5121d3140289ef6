import json
import re
from typing import Any

import pytest

from shopclock.exchange.workbook import figures_json
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.exchange.workbook.sheets import batch_lines
from shopclock.record.read.read_only import ReadOnlyRecord
from tests.exchange.shop_story import START_US

NOW_US = START_US + 12 * 3600 * 1_000_000
CARRIED = ("carried_lost_min", "carried_kept_min", "carried_cut_down_min")
FINISHED = ("finished_run_min", "finished_setup_min", "finished_rework_min")


@pytest.fixture
def tree(reading: ReadOnlyRecord) -> dict[str, Any]:
    lines = batch_lines(reading, ExportOptions(now_us=NOW_US))
    found = json.loads(figures_json.figures_json(reading.floor, lines, NOW_US))
    assert isinstance(found, dict)
    return found


def test_finished_pieces_times_their_minutes_is_all_that_was_spent(tree: dict[str, Any]) -> None:
    for batch in tree["batches"]:
        for stage in (batch["whole"], *batch["stages"]):
            parts = sum(stage[key] for key in (*FINISHED, *CARRIED))
            assert parts == pytest.approx(stage["spent_min"], abs=1e-9)
            assert batch["pieces_finished"] * stage["per_finished_min"] == pytest.approx(stage["spent_min"], abs=1e-9)


def test_the_stages_add_up_to_the_whole(tree: dict[str, Any]) -> None:
    for batch in tree["batches"]:
        for key in ("spent_min", "per_finished_min", *FINISHED, *CARRIED):
            assert sum(stage[key] for stage in batch["stages"]) == pytest.approx(batch["whole"][key], abs=1e-9)


def test_a_stage_that_nobody_passed_has_no_quotient(tree: dict[str, Any]) -> None:
    stage = tree["batches"][0]["stages"][-1]
    assert (stage["passed_pieces"], stage["passed_run_min"], stage["passed_setup_min"]) == (0, None, None)


def test_what_was_carried_stands_by_how_the_piece_ended(tree: dict[str, Any]) -> None:
    whole = tree["batches"][0]["whole"]
    assert whole["carried_lost_min"] > 0
    assert whole["carried_cut_down_min"] > 0
    assert whole["carried_kept_min"] == 0


def test_open_and_closed_are_told_apart(tree: dict[str, Any]) -> None:
    closed, still_open = tree["batches"]
    assert (closed["so_far"], still_open["so_far"]) == (False, True)
    assert closed["closed"].endswith("Z")
    assert still_open["closed"] is None


def test_every_key_is_in_the_table_and_the_table_has_no_other(tree: dict[str, Any]) -> None:
    rows = [line.split("|")[1] for line in (figures_json.__doc__ or "").splitlines() if line.startswith("| ")]
    documented = {key for row in rows[1:] for key in re.findall(r"`(\w+)`", row)}
    assert documented == _keys(tree)


def _keys(tree: object) -> set[str]:
    if isinstance(tree, dict):
        return set(tree) | {key for value in tree.values() for key in _keys(value)}
    return {key for value in tree for key in _keys(value)} if isinstance(tree, list) else set()
