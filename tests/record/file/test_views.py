"""The views for other readers: the same figures as everywhere, nothing stored."""

from __future__ import annotations

import json
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pandas as pd
import pytest

from shopclock.exchange.api import ShopFrames
from shopclock.record.file.views import READING_FLAT, VIEWS, View
from shopclock.shop.values.measure import parse

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

END_US = 1_792_868_400_000_000
TOP = Path(__file__).resolve().parents[3]


@pytest.fixture
def demo(copied_demo: Callable[..., Path]) -> Path:
    return copied_demo(END_US)


@pytest.fixture
def connection(demo: Path) -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(demo)) as opened:
        opened.row_factory = sqlite3.Row
        yield opened


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.name)
def test_a_view_has_its_columns_and_rows(connection: sqlite3.Connection, view: View) -> None:
    rows = connection.execute(f"SELECT * FROM {view.name}").fetchall()  # noqa: S608  # our own name
    assert rows
    assert list(rows[0].keys()) == [column.name for column in view.columns]


def test_shares_labour_and_stages_add_up_to_the_same(connection: sqlite3.Connection) -> None:
    sums = [
        connection.execute(query).fetchone()[0]
        for query in (
            "SELECT sum(labour_min) FROM interval_flat WHERE batch IS NOT NULL",
            "SELECT sum(labour_min) FROM piece_labour",
            "SELECT sum(spent_min) FROM batch_stage",
            "SELECT sum(us) / 60e6 FROM share",
        )
    ]
    assert sums == pytest.approx([sums[0]] * 4, abs=1e-6)


def test_who_counts_what_is_finished_counts_seconds(connection: sqlite3.Connection) -> None:
    second = connection.execute("SELECT count(*) FROM piece_labour WHERE outcome = 'second'").fetchone()[0]
    counted = connection.execute("SELECT count(*) FROM piece_labour WHERE outcome = 'second' AND finished").fetchone()[
        0
    ]
    assert second == counted > 0
    assert not connection.execute("SELECT 1 FROM piece_labour WHERE outcome = 'scrapped' AND finished").fetchone()


def test_the_stages_of_closed_batches_are_what_the_command_says(demo: Path, connection: sqlite3.Connection) -> None:
    command = [sys.executable, "-m", "shopclock", "figures", "--json", "--record", str(demo)]
    told = json.loads(subprocess.run(command, cwd=TOP, capture_output=True, check=True).stdout)
    wanted = {
        (batch["batch"], stage["stage"]): (stage["passed_pieces"], stage["passed_run_min"], stage["spent_min"])
        for batch in told["batches"]
        for stage in batch["stages"]
        if batch["closed"] and stage["passed_pieces"] and stage["spent_min"]
    }
    query = "SELECT batch, stage, passed, passed_run_min, spent_min FROM batch_stage WHERE closed IS NOT NULL"
    found = {(row[0], row[1]): tuple(row)[2:] for row in connection.execute(query)}
    assert {key: found[key] for key in wanted} == {key: pytest.approx(value) for key, value in wanted.items()}


def test_an_interval_tells_its_instants_as_the_data_frames_do(demo: Path, connection: sqlite3.Connection) -> None:
    query = "SELECT key, start, labour_min, certainty, pieces FROM interval_flat ORDER BY key"
    with ShopFrames(demo) as shop:
        frame = shop.intervals().sort_values("key")
    for row, told in zip(connection.execute(query), frame.itertuples(), strict=True):
        assert row["start"] == told.start.isoformat(timespec="microseconds").replace("+00:00", "Z")
        assert (row["key"], row["certainty"], row["pieces"] or "") == (told.key, told.certainty, told.pieces)
        labour = None if told.labour is pd.NaT else pytest.approx(told.labour.total_seconds() / 60)
        assert row["labour_min"] == labour


@pytest.mark.parametrize("typed", ["58.5", "3/32", "1 3/32", "1-3/32", ".094", "-2", "-1/4", "-1 1/4", "0"])
def test_a_value_typed_as_a_fraction_is_the_number_it_says(typed: str) -> None:
    measure = parse(typed, "grit")
    (column,) = (column for column in READING_FLAT.columns if column.name == "measured_value")
    with closing(sqlite3.connect(":memory:")) as connection:
        query = f"SELECT {column.sql.replace('r.measured', 'text')} FROM (SELECT ? AS text)"  # noqa: S608  # our own
        assert connection.execute(query, (measure.text,)).fetchone()[0] == pytest.approx(float(measure.value))
