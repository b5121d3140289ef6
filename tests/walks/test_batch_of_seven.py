"""A batch of seven from a copied route to its close, killed in the middle: window, record, sheets and figures agree."""

import csv
import sqlite3
from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import pytest

from shopclock.commands import main
from shopclock.exchange.workbook.export import export_record
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.figures.batch_figures import BatchFigures, StageFigures, figures
from shopclock.shop.state.wording import zone_of
from shopclock.shop.values.entities import Batch, Piece, Stage
from shopclock.shop.values.kinds import Outcome
from shopclock.tour.window import StoppedClock
from tests.exchange.read_workbook import Row, read_workbook
from tests.walks import seven
from tests.walks.walk import Killed, at_the_window, kept, new_record, shown, walk, walk_and_be_killed

LEFT_OVER_US = 20
"""What doesn't divide goes to the first pieces, a microsecond for each stretch: so far a share by hand may be off."""


@dataclass(frozen=True)
class Walked:
    """The record at its end, and what was seen at the kill and after it."""

    path: Path
    at_us: int
    before: Killed
    kept_after: str
    shown_after: list[str]
    last_read: list[str]


@pytest.fixture(scope="module")
def walked(tmp_path_factory: pytest.TempPathFactory, qapp: object) -> Walked:
    path = new_record(tmp_path_factory.mktemp("seven") / "shop.shopclock")
    before = walk_and_be_killed(path, seven.BEFORE_THE_KILL)
    again = Record.open(path, StoppedClock(before.at_us))
    kept_after = kept(again)
    again.close()
    with at_the_window(path, before.at_us) as hand:
        shown_after = shown(hand)
        walk(hand, seven.AFTER_THE_KILL)
        return Walked(path, hand.clock.at_us, before, kept_after, shown_after, hand.read)


@pytest.fixture
def reading(walked: Walked) -> Iterator[ReadOnlyRecord]:
    with ReadOnlyRecord.open(walked.path) as opened:
        yield opened


@pytest.fixture
def found(reading: ReadOnlyRecord, walked: Walked) -> BatchFigures:
    batch = batch_named(reading, "26-01")
    return figures(reading.batch_floor(batch.id), batch.id, walked.at_us)


def batch_named(reading: ReadOnlyRecord, name: str) -> Batch:
    return next(b for b in reading.floor.all(Batch) if b.name == name)


def us(minutes: float) -> int:
    return round(minutes * 60_000_000)


def rows(walked: Walked, query: str, *values: object) -> list[tuple[int, ...]]:
    with closing(sqlite3.connect(f"file:{walked.path}?mode=ro", uri=True)) as connection:
        return connection.execute(query, values).fetchall()


def by_name(reading: ReadOnlyRecord, found: BatchFigures) -> dict[str, StageFigures]:
    return {reading.floor.get(Stage, stage.stage_id).name: stage for stage in found.stages}


def test_all_that_was_seen_before_the_kill_is_on_disk(walked: Walked) -> None:
    assert walked.kept_after == walked.before.kept


def test_the_window_after_the_kill_shows_what_it_showed_before(walked: Walked) -> None:
    assert walked.shown_after == walked.before.shown
    assert {"Stop", "Next: Fit scales", "Saw scales", "Out: Temper 1"} <= set(walked.shown_after)


def test_the_minutes_are_those_that_were_walked(reading: ReadOnlyRecord, found: BatchFigures) -> None:
    stages = by_name(reading, found)
    worked = {
        name: (seven.RUN_MIN.get(name, 0), seven.SETUP_MIN.get(name, 0), seven.REWORK_MIN.get(name, 0))
        for name in stages
    }
    assert {name: stage.all_us for name, stage in stages.items()} == {
        name: sum(map(us, minutes)) for name, minutes in worked.items()
    }
    assert seven.RUN_MIN.keys() == {name for name, minutes in worked.items() if sum(minutes)}
    assert found.whole.all_us == sum(us(minute) for minutes in worked.values() for minute in minutes)


def test_what_went_into_the_lost_one_is_carried(walked: Walked, found: BatchFigures) -> None:
    assert found.whole.carried[Outcome.SCRAPPED] == pytest.approx(us(seven.LOST_E_MIN), abs=LEFT_OVER_US)
    carried = sum(found.whole.carried.values())
    assert found.finished * found.whole.per_finished_min * 60e6 == pytest.approx(found.whole.all_us)  # type: ignore[operator]  # some finished
    assert found.whole.of_finished.all_us + carried == found.whole.all_us


def test_pieces_end_as_they_were_said_to(reading: ReadOnlyRecord, found: BatchFigures) -> None:
    batch = batch_named(reading, "26-01")
    ends = {p.mark: p.outcome for p in reading.batch_floor(batch.id).of_batch(Piece, batch.id)}
    good = dict.fromkeys("ABDF", Outcome.FINISHED)
    assert ends == good | {"C": Outcome.SECOND, "E": Outcome.SCRAPPED, "G": Outcome.KEPT}
    assert (found.started, found.finished, found.seconds) == (7, 5, 1)
    assert batch.next_time == "Bevels on the jig from the start"


def test_the_window_says_the_minutes_of_a_finished_piece(walked: Walked, found: BatchFigures) -> None:
    assert found.whole.per_finished_min is not None
    assert f"{found.whole.per_finished_min:.1f} min each" in " ".join(walked.last_read)


def test_figures_are_the_sums_over_the_tables(walked: Walked, reading: ReadOnlyRecord, found: BatchFigures) -> None:
    sums = dict(
        rows(
            walked,
            "SELECT i.stage_id, sum(s.us) FROM share s JOIN interval i ON i.id = s.interval_id"
            " JOIN batch b ON b.id = i.batch_id WHERE b.name = ? GROUP BY i.stage_id",
            "26-01",
        )
    )
    assert {stage.stage_id: stage.all_us for stage in found.stages if stage.all_us} == sums


def test_labour_is_the_length_of_the_time_worked(walked: Walked) -> None:
    worked = rows(walked, "SELECT start_us, end_us FROM interval WHERE kind IN ('hands-on', 'watch') ORDER BY start_us")
    union, until = 0, 0
    for start, end in worked:
        union += max(0, end - max(start, until))
        until = max(until, end)
    every = sum(us(minutes) for part in (seven.RUN_MIN, seven.SETUP_MIN, seven.REWORK_MIN) for minutes in part.values())
    assert rows(walked, "SELECT sum(us) FROM labour") == [(union,)]
    assert union == every + us(seven.SWEEPING_MIN) + us(seven.SECOND_BATCH_MIN)


def test_the_cure_over_the_change_of_clocks_began_by_itself_and_lasted(walked: Walked) -> None:
    cures = rows(
        walked,
        "SELECT i.start_us, i.end_us, g.end_us FROM interval i JOIN stage s ON s.id = i.stage_id"
        " JOIN interval g ON g.end_us >= i.start_us AND g.batch_id = i.batch_id JOIN stage t ON t.id = g.stage_id"
        " WHERE s.name = 'Cure' AND t.name = 'Glue up' ORDER BY i.start_us",
    )
    assert len({start for start, _, _ in cures}) == 2
    assert cures[-1][0] == cures[-1][2]
    assert all(end - start >= us(24 * 60) for start, end, _ in cures)


def test_the_csv_adds_up_to_the_microsecond(walked: Walked, reading: ReadOnlyRecord, tmp_path: Path) -> None:
    export_record(reading, tmp_path / "all.csv", zone_of(reading.floor), ExportOptions(now_us=walked.at_us))
    with (tmp_path / "all.csv").open(encoding="utf-8-sig", newline="") as file:
        lines = list(csv.DictReader(file))
    exact = {key: (start, end) for key, start, end in rows(walked, "SELECT uuid, start_us, end_us FROM interval")}
    labour = dict(
        rows(walked, "SELECT uuid, coalesce(us, 0) FROM interval LEFT JOIN labour ON interval.id = interval_id")
    )
    assert {line["Key"]: (instant(line["Start (UTC)"]), instant(line["End (UTC)"])) for line in lines} == exact
    assert {line["Key"]: us(float(line["Labour (min)"])) for line in lines} == labour


def instant(text: str) -> int:
    """Microseconds of an instant in ISO 8601, in whole numbers."""
    at = datetime.fromisoformat(text) - datetime.fromisoformat("1970-01-01T00:00:00Z")
    return (at.days * 86_400 + at.seconds) * 1_000_000 + at.microseconds


def test_the_workbook_says_the_same(
    walked: Walked, reading: ReadOnlyRecord, found: BatchFigures, tmp_path: Path
) -> None:
    export_record(reading, tmp_path / "all.xlsx", zone_of(reading.floor), ExportOptions(now_us=walked.at_us))
    book = read_workbook(tmp_path / "all.xlsx")
    stages = {text(row, "Stage"): row for row in book["Stages by batch"] if text(row, "Batch") == "26-01"}
    for name, stage in by_name(reading, found).items():
        assert us(number(stages[name], "Spent (min)")) == stage.all_us
        assert us(number(stages[name], "Of it on lost (min)")) == stage.carried[Outcome.SCRAPPED]
        if stage.per_piece_min is not None:
            assert number(stages[name], "Run per piece (min)") == pytest.approx(stage.per_piece_min, rel=1e-12)
    labour: Counter[str] = Counter()
    for row in book["Intervals"]:
        labour[text(row, "Batch")] += us(number(row, "Labour (min)"))
    assert labour["26-01"] == found.whole.all_us
    assert labour[""] == us(seven.SWEEPING_MIN)
    assert labour["26-02"] == us(seven.SECOND_BATCH_MIN)
    pieces = [row for row in book["Pieces"] if text(row, "Batch") == "26-01"]
    each = sum(us(number(row, head)) for row in pieces for head in ("Run (min)", "Set-up (min)", "Rework (min)"))
    assert each == found.whole.all_us


def text(row: Row, head: str) -> str:
    return str(row.get(head, ("", ""))[1])


def number(row: Row, head: str) -> float:
    return float(row.get(head, ("n", 0.0))[1])


def test_check_says_sound(walked: Walked, capsys: pytest.CaptureFixture[str]) -> None:
    assert main.main(["check", "--record", str(walked.path)]) == 0
    assert "sound" in capsys.readouterr().out
