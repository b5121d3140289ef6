"""Each formula of the front sheet, worked out by LibreOffice, comes to the program's own figure."""

import re
import shutil
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from shopclock.exchange.workbook.export import export_record
from shopclock.exchange.workbook.front_facts import FOLLOWED, STACKED
from shopclock.exchange.workbook.front_sheet import NAME, OTHERS, TABLE
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.figures.batch_figures import BatchFigures, figures
from shopclock.shop.values.entities import Batch, Pattern, Stage
from shopclock.shop.values.kinds import Outcome
from tests.exchange import office
from tests.exchange.office import Cell

NOW_US = 1_792_868_400_000_000
EXACT = 1e-12

pytestmark = [
    pytest.mark.long,
    pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed"),
]


@dataclass(frozen=True)
class Told:
    """The program's own figures of a batch, straight from its floor."""

    name: str
    pattern: str
    figures: BatchFigures
    lost: int
    stages: dict[str, tuple[float | None, float | None]]
    """By name: minutes per finished piece, and of run per piece that passed."""

    @property
    def settled(self) -> bool:
        return not (self.figures.so_far or self.figures.at_least)


@dataclass(frozen=True)
class Front:
    """The rows of the front sheet and of the table of its bars as LibreOffice has them, and what the program says."""

    rows: Sequence[Sequence[Cell]]
    bars: Sequence[Sequence[Cell]]
    told: Sequence[Told]

    def value(self, label: str) -> Cell:
        return next(row[1] for row in self.rows[3:9] if row[0][1] == label)

    def followed(self) -> Iterator[dict[str, Cell]]:
        """The rows of the front's own table, by their heads."""
        (top,) = (place for place, row in enumerate(self.rows) if row[0][1] == "Batch")
        return table(self.rows[top:])


def table(rows: Sequence[Sequence[Cell]]) -> Iterator[dict[str, Cell]]:
    """The rows of a table, by their heads."""
    heads = [said for _, said in rows[0]]
    for row in rows[1:]:
        if not row[0][1]:
            return
        yield {head: cell for head, cell in zip(heads, row, strict=False) if head}


def read_front(book: Path, told: list[Told]) -> Front:
    sheets = office.opened(book)
    return Front(sheets[NAME], sheets[TABLE], told)


@pytest.fixture(scope="module")
def told(demo: Path) -> list[Told]:
    with ReadOnlyRecord.open(demo) as reading:
        batches = sorted(reading.floor.all(Batch), key=lambda batch: (batch.started_us, batch.id))
        return [_told(reading, batch) for batch in batches]


def _told(reading: ReadOnlyRecord, batch: Batch) -> Told:
    found = figures(reading.load_batch(batch.id), batch.id, NOW_US)
    stages = {
        reading.floor.get(Stage, stage.stage_id).name: (stage.per_finished_min, stage.per_piece_min)
        for stage in found.stages
    }
    lost = sum(piece.outcome is Outcome.SCRAPPED for piece in reading.floor.pieces(batch.id))
    return Told(batch.name, reading.floor.get(Pattern, batch.pattern_id).name, found, lost, stages)


@pytest.fixture(scope="module")
def book(demo: Path) -> Path:
    path = demo.with_suffix(".xlsx")
    with ReadOnlyRecord.open(demo) as reading:
        export_record(reading, path, ZoneInfo("Europe/Vienna"), ExportOptions(now_us=NOW_US))
    return path


@pytest.fixture(scope="module")
def front(book: Path, told: list[Told]) -> Front:
    """As it is written, but without the values that the file brings along."""
    bare = office.changed(book, book.with_name("bare.xlsx"))
    return read_front(bare, told)


def test_the_main_figures_are_those_of_the_closed_batches(front: Front) -> None:
    settled = [batch for batch in front.told if batch.settled]
    finished, spent = (
        sum(batch.figures.finished for batch in settled),
        sum(batch.figures.whole.all_us for batch in settled),
    )
    assert 0 < len(settled) < len(front.told)
    assert float(front.value("Batches, closed")[1]) == len(settled)
    assert float(front.value("Knives, finished")[1]) == finished
    assert float(front.value("Lost")[1]) == sum(batch.lost for batch in settled)
    assert float(front.value("Work on them (min)")[1]) == pytest.approx(spent / 60e6, rel=EXACT)
    hours, minutes, seconds = map(float, re.findall(r"[\d.]+", front.value("Work on them (h:mm)")[1]))
    assert hours * 3600 + minutes * 60 + seconds == pytest.approx(spent / 1e6, abs=1e-3)
    assert float(front.value("Minutes per finished knife")[1]) == pytest.approx(spent / finished / 60e6, rel=EXACT)


def test_the_bars_are_minutes_per_finished_piece_of_the_newest_closed_batches(front: Front) -> None:
    shown = [batch for batch in front.told if batch.settled and batch.figures.finished][-STACKED:]
    rows = list(table(front.bars))
    assert [row["Batch"][1] for row in rows] == [batch.name for batch in shown]
    for row, batch in zip(rows, shown, strict=True):
        stages = {head: float(value) for head, (kind, value) in row.items() if kind == "float"}
        whole, others = stages.pop("All"), stages.pop(OTHERS)
        assert len(stages) == 8
        assert stages == {name: pytest.approx(batch.stages.get(name, (0, 0))[0], rel=EXACT) for name in stages}
        assert whole == pytest.approx(batch.figures.whole.per_finished_min, rel=EXACT)
        assert others == pytest.approx(whole - sum(stages.values()), abs=1e-6)


def _followed(front: Front, stage: str, patterns: set[str]) -> None:
    rows = list(front.followed())
    assert [row["Batch"][1] for row in rows] == [batch.name for batch in front.told[-FOLLOWED:]]
    said = []
    for row, batch in zip(rows, front.told[-FOLLOWED:], strict=True):
        assert row["Pattern"][1] == batch.pattern
        kind, value = row["Minutes a blade"]
        minutes = batch.stages.get(stage, (None, None))[1] if batch.pattern in patterns else None
        if minutes is None:
            assert (kind, value) == ("string", "#N/A")
        else:
            said.append(minutes)
            assert float(value) == pytest.approx(minutes, rel=EXACT)
    assert len(said) > 3


def _chosen(front: Front) -> tuple[str, str]:
    cells = [row[8][1] for row in front.rows[9:11]]
    return cells[0], cells[1]


def test_the_trend_is_that_of_the_stage_that_was_chosen_first(front: Front) -> None:
    stage, pattern = _chosen(front)
    _followed(front, stage, {pattern})


@pytest.mark.parametrize(("stage", "pattern"), [("Hand sand", "Oyster"), ("Sharpen", "All patterns")])
def test_another_choice_makes_the_table_follow(
    book: Path, told: list[Told], tmp_path: Path, stage: str, pattern: str
) -> None:
    other = office.changed(book, tmp_path / "other.xlsx", I10=stage, I11=pattern)
    front = read_front(other, told)
    assert _chosen(front) == (stage, pattern)
    every = {batch.pattern for batch in told}
    _followed(front, stage, every if pattern == "All patterns" else {pattern})


def test_an_open_batch_alone_is_told_so_far(demo: Path, told: list[Told], tmp_path: Path) -> None:
    batch = next(batch for batch in reversed(told) if batch.figures.so_far)
    with ReadOnlyRecord.open(demo) as reading:
        options = ExportOptions(now_us=NOW_US, batch_ids=frozenset({batch.figures.batch.id}))
        export_record(reading, tmp_path / "open.xlsx", ZoneInfo("Europe/Vienna"), options)
    bare = office.changed(tmp_path / "open.xlsx", tmp_path / "bare.xlsx")
    front = read_front(bare, [batch])
    assert float(front.value("Batches, so far")[1]) == 1
    assert float(front.value("Knives, finished or in work")[1]) == batch.figures.finished
    (row,) = table(front.bars)
    assert float(row["All"][1]) == pytest.approx(batch.figures.whole.per_finished_min, rel=EXACT)
    spent = {name: minutes for name, (minutes, _) in batch.stages.items() if minutes}
    assert {name: float(row[name][1]) for name in spent} == pytest.approx(spent, rel=EXACT)
    assert set(row) == {"Batch", "Started", "Pattern", *spent, "All"}
