"""Batches and their stages as the sheets tell them. Each figure is `shop.figures`' own."""

from collections.abc import Iterator
from dataclasses import dataclass

from shopclock.exchange.workbook.cells import Holds, Sheet, SheetColumn, minutes, yes
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.record.read.rows import BatchRow
from shopclock.shop.figures.batch_figures import BatchFigures, StageFigures, figures
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Stage
from shopclock.shop.values.kinds import Outcome


@dataclass(frozen=True, slots=True)
class BatchLine:
    """A batch with its counts, its figures, the names of its stages, and the floor on which it lies whole."""

    row: BatchRow
    stages: tuple[str, ...]
    figures: BatchFigures
    floor: ShopFloor


@dataclass(frozen=True, slots=True)
class StageLine:
    """A stage of a batch with its figures."""

    batch: BatchLine
    stage: str
    figures: StageFigures


def batch_lines(reading: ReadOnlyRecord, options: ExportOptions) -> Iterator[BatchLine]:
    """Yield the figures of the batches asked for, oldest first; closed ones don't stay in memory."""
    rows = [row for row in reading.reads.batches() if options.wants(row.id)]
    floors = reading.figure_floors(row.id for row in rows)
    for row, (_, floor) in zip(rows, floors, strict=True):
        found = figures(floor, row.id, options.now_us)
        names = tuple(reading.floor.get(Stage, stage.stage_id).name for stage in found.stages)
        yield BatchLine(row, names, found, floor)


def stage_lines(line: BatchLine) -> Iterator[StageLine]:
    """Yield the stages of a batch, in the order of its route."""
    for name, stage in zip(line.stages, line.figures.stages, strict=True):
        yield StageLine(line, name, stage)


def _carried(stage: StageFigures, outcome: Outcome) -> float:
    return minutes(stage.carried[outcome])


STAGES: Sheet[StageLine] = Sheet(
    "Stages by batch",
    (
        SheetColumn("Batch", Holds.TEXT, 12, lambda row: row.batch.row.name, "The batch."),
        SheetColumn("Pattern", Holds.TEXT, 12, lambda row: row.batch.row.pattern, "The batch's pattern."),
        SheetColumn(
            "Batch started (shop time)",
            Holds.SHOP_TIME,
            17,
            lambda row: row.batch.row.started_us,
            "When the batch was started.",
        ),
        SheetColumn("Stage", Holds.TEXT, 12, lambda row: row.stage, "The stage, by its name of today."),
        SheetColumn("Passed (pieces)", Holds.COUNT, 10, lambda row: row.figures.passed, "Pieces through the stage."),
        SheetColumn(
            "Run per piece (min)",
            Holds.MINUTES,
            12,
            lambda row: row.figures.per_piece_min,
            "Minutes per piece: mean over the pieces that passed.",
        ),
        SheetColumn(
            "Set-up per piece (min)",
            Holds.MINUTES,
            12,
            lambda row: row.figures.setup_per_piece_min,
            "The same of set-up.",
        ),
        SheetColumn(
            "Rework per piece (min)",
            Holds.MINUTES,
            12,
            lambda row: row.figures.rework_per_piece_min,
            "The same of rework.",
        ),
        SheetColumn(
            "Finished (pieces)", Holds.COUNT, 10, lambda row: row.figures.finished, "Finished pieces of the batch."
        ),
        SheetColumn(
            "Per finished piece (min)",
            Holds.MINUTES,
            12,
            lambda row: row.figures.per_finished_min,
            "Everything spent at the stage over the finished pieces; empty where none finished.",
        ),
        SheetColumn(
            "Spent (h:mm)",
            Holds.LENGTH,
            9,
            lambda row: row.figures.all_us,
            "Everything spent at the stage, on all pieces.",
        ),
        SheetColumn(
            "Spent (min)", Holds.MINUTES, 9, lambda row: minutes(row.figures.all_us), "The same in decimal minutes."
        ),
        SheetColumn(
            "Of it on lost (min)",
            Holds.MINUTES,
            12,
            lambda row: _carried(row.figures, Outcome.SCRAPPED),
            "The part spent on pieces that were scrapped.",
        ),
        SheetColumn(
            "Of it on kept (min)",
            Holds.MINUTES,
            12,
            lambda row: _carried(row.figures, Outcome.KEPT),
            "The part spent on pieces kept as template or test piece.",
        ),
        SheetColumn(
            "Of it on cut down (min)",
            Holds.MINUTES,
            12,
            lambda row: _carried(row.figures, Outcome.CUT_DOWN),
            "The part spent on pieces that went on in another batch.",
        ),
        SheetColumn(
            "So far",
            Holds.TEXT,
            8,
            lambda row: yes(row.batch.figures.so_far),
            "yes while the batch is open: pieces in work count as finished.",
        ),
        SheetColumn(
            "At least",
            Holds.TEXT,
            9,
            lambda row: yes(row.batch.figures.at_least),
            "yes where steps of the batch were not timed.",
        ),
    ),
)
