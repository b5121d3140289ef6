"""What scripts and notebooks read: real instants, whole microseconds, the same figures as everywhere."""

from __future__ import annotations

import json
import re
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import shopclock
from shopclock.exchange.api import FRAMES, ShopFrames
from shopclock.places import resource
from shopclock.record.press.record import Record
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.errors import ShopError
from tests.exchange.shop_story import START_US

if TYPE_CHECKING:
    from collections.abc import Callable

TOP = Path(__file__).resolve().parents[2]
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@pytest.fixture(scope="module")
def opened(copied_demo: Callable[..., Path]) -> ShopFrames:
    return shopclock.open(copied_demo(START_US // 1_000_000 * 1_000_000))


@pytest.mark.parametrize("name", FRAMES)
def test_a_frame_has_its_columns_of_their_kinds(opened: ShopFrames, name: str) -> None:
    frame = getattr(opened, name)()
    assert [(c.name, c.holds.value) for c in FRAMES[name]] == [(n, str(kind)) for n, kind in frame.dtypes.items()]
    assert len(frame)


@pytest.mark.parametrize("name", FRAMES)
def test_an_empty_record_has_the_same_columns_of_the_same_kinds(tmp_path: Path, name: str) -> None:
    Record.open(tmp_path / "new.shopclock", SystemClock(), make=True).close()
    with shopclock.open(tmp_path / "new.shopclock") as shop:
        frame = getattr(shop, name)()
    assert [(c.name, c.holds.value) for c in FRAMES[name]] == [(n, str(kind)) for n, kind in frame.dtypes.items()]
    assert len(frame) == 0


def test_an_instant_is_exact_to_the_microsecond(story_path: Path) -> None:
    with shopclock.open(story_path) as shop:
        intervals = shop.intervals()
    with closing(sqlite3.connect(story_path)) as connection:
        rows = dict(connection.execute("SELECT uuid, start_us FROM interval").fetchall())
    told = {key: (start.to_pydatetime() - EPOCH) // timedelta(microseconds=1) for key, start in
            intervals[["key", "start"]].itertuples(index=False)}  # fmt: skip
    assert told == rows
    assert any(us % 1000 for us in rows.values())


def test_all_shares_are_all_labour_on_batches(opened: ShopFrames) -> None:
    intervals, pieces = opened.intervals(), opened.pieces()
    labour = intervals[intervals.batch != ""].labour.sum()
    assert labour == (pieces.run + pieces.setup + pieces.rework).sum()
    running = intervals[intervals.end.isna() & intervals.kind.isin(["hands-on", "watch"])]
    assert running.empty  # batches count work that runs, too
    assert labour == opened.batches().spent.sum()


def test_the_parts_of_a_batch_are_what_was_spent_on_it(opened: ShopFrames) -> None:
    batches, stages = opened.batches(), opened.stages()
    assert (batches.own + batches.carried == batches.spent).all()
    carried = stages.carried_lost + stages.carried_kept + stages.carried_cut_down
    assert (stages.own + carried == stages.spent).all()
    assert (stages.groupby("batch").spent.sum() == batches.set_index("batch").spent.sort_index()).all()


def test_stages_say_what_the_command_says(opened: ShopFrames, copied_demo: Callable[..., Path]) -> None:
    path = copied_demo(START_US // 1_000_000 * 1_000_000)
    told = subprocess.run(
        [sys.executable, "-m", "shopclock", "figures", "--json", "--record", str(path)],
        cwd=TOP, capture_output=True, check=True,
    ).stdout  # fmt: skip
    wanted = {
        (batch["batch"], stage["stage"]): stage["passed_run_min"]
        for batch in json.loads(told)["batches"]
        if not batch["so_far"]
        for stage in batch["stages"]
    }
    stages = opened.stages()
    closed = stages[~stages.so_far]
    found = {(r.batch, r.stage): r.passed_run_min for r in closed.itertuples()}
    assert found == pytest.approx({key: float("nan") if v is None else v for key, v in wanted.items()}, nan_ok=True)


def test_it_reads_beside_an_open_window_and_writes_nothing(copied_demo: Callable[..., Path]) -> None:
    path = copied_demo(START_US // 1_000_000 * 1_000_000)
    with closing(Record.open(path, SystemClock())):
        before = path.read_bytes()
        with shopclock.open(str(path)) as shop:
            assert len(shop.batches())
        assert path.read_bytes() == before


def test_what_is_no_record_is_told_in_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "x.shopclock").write_text("no record")
    with pytest.raises(ShopError, match=r"x\.shopclock"):
        shopclock.open(tmp_path / "x.shopclock")
    with pytest.raises(ShopError, match=r"none\.shopclock"):
        shopclock.open(tmp_path / "none.shopclock")
    assert not (tmp_path / "none.shopclock").exists()


def test_the_manuals_example_prints_what_it_says(
    copied_demo: Callable[..., Path], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    page = resource("manual", "scripts.md").read_text("utf-8")
    (code,), (output,) = (re.findall(f"```{kind}\n(.*?)```", page, re.DOTALL) for kind in ("python", "text"))
    monkeypatch.chdir(copied_demo(START_US // 1_000_000 * 1_000_000).parent)
    exec(compile(code, "scripts.md", "exec"), {})  # noqa: S102  # the page's own lines
    assert capsys.readouterr().out == output
