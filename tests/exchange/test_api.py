"""What scripts and notebooks read: real instants, whole microseconds, the same figures as everywhere."""

from __future__ import annotations

import json
import re
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import shopclock
from shopclock.analysis.plan.next_batch import next_batch
from shopclock.exchange.api import FRAMES, ShopFrames
from shopclock.places import resource
from shopclock.record.press.record import Record
from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.trends.presenter import TrendsPresenter
from shopclock.shop.state.wording import MINUTE_US, length_text
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Method, Pattern, Stage
from shopclock.shop.values.errors import ShopError
from tests.exchange.shop_story import START_US
from tests.fake_dialogs import FakeDialogs
from tests.screens.bench.workshop import Workshop

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


def opened_us(record: Record) -> int:
    """The newest instant that the record knows of."""
    with shopclock.open(record.path) as shop:
        return shop._record.newest_us


def test_a_trend_is_what_the_screen_of_trends_says(copied_demo: Callable[..., Path]) -> None:
    path = copied_demo(START_US // 1_000_000 * 1_000_000)
    with closing(Record.open(path, SystemClock())) as record:
        now_us = opened_us(record)
        rows = partial(record.reads.stage_rows, now_us)
        presenter = TrendsPresenter(record, FakeDialogs(), (rows, tuple), lambda *_: None, AtOnce())
        presenter.refresh()
        stage = next(s for s in record.floor.all(Stage) if s.name == "Grind bevels")
        presenter.press_stage(str(stage.id))
        seen = presenter.state()
        with shopclock.open(path) as shop:
            main, other = shop.trend("bevels")
    (rate, low, high) = (round((1 - value) * 100) for value in (main.rate, main.rate_high, main.rate_low))
    assert f"{rate} % quicker each time the count doubles ({low} to {high} %)" in seen.sentence
    assert (main.method, main.verdict, other.method) == ("freehand", "getting faster", "jig")
    assert other.verdict in seen.more


def test_a_forecast_is_what_next_batch_says(opened: ShopFrames, copied_demo: Callable[..., Path]) -> None:
    found = opened.forecast("Paring", 6, {"bevels": "jig"})
    path, newest_us = copied_demo(START_US // 1_000_000 * 1_000_000), opened._record.newest_us
    floor = opened._record.floor
    stage = next(s for s in floor.all(Stage) if s.name == "Grind bevels")
    jig = next(m for m in floor.all(Method) if m.stage_id == stage.id and m.name == "jig")
    pattern = next(p for p in floor.all(Pattern) if p.name == "Paring 95")
    told = next_batch(str(path), pattern.id, 6, ((stage.id, jig.id),), newest_us)
    assert tuple(found.blanks) == told.blanks
    assert tuple(length_text(round(hours * 60) * MINUTE_US) for hours in found.hours) == told.takes
    assert [(s.stage, s.method) for s in found.stages] == [(s.name, s.method) for s in told.stages]
    assert ("Grind bevels", "jig") in [(s.stage, s.method) for s in found.stages]


def test_names_that_are_unknown_are_told(opened: ShopFrames) -> None:
    with pytest.raises(ShopError, match="There is no stage 'weld'"):
        opened.trend("weld")
    with pytest.raises(ShopError, match="There is no pattern 'spoon'"):
        opened.forecast("spoon", 3)
    with pytest.raises(ShopError, match="There is no method of Grind bevels 'laser'"):
        opened.forecast("Paring", 3, {"bevels": "laser"})


def test_a_stage_of_a_new_shop_has_no_trend_and_its_forecast_goes_by_the_route(tmp_path: Path) -> None:
    shop = Workshop.open(tmp_path / "new.shopclock")
    shop.batch("Paring 95", 3)
    shop.record.close()
    with shopclock.open(tmp_path / "new.shopclock") as read:
        assert read.trend("Saw out") == ()
        found = read.forecast("Paring 95", 3)
    assert {stage.batches for stage in found.stages} == {0}
    assert found.hours.likely is not None
    assert "route" in found.note
