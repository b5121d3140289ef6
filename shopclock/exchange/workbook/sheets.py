"""The workbook's plain sheets, a table of columns each: intervals, batches and their stages, pieces, readings."""

from collections.abc import Iterator
from dataclasses import dataclass

from shopclock.exchange.workbook.cells import Holds, Sheet, SheetColumn, minutes, yes
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.record.read.rows import BatchRow, IntervalRow, PieceRow, ReadingRow
from shopclock.shop.figures.batch_figures import CUT_DOWN, KEPT, LOST, BatchFigures, Minutes, StageFigures, figures
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Stage
from shopclock.shop.values.measure import Measure

TEXT, COUNT, MINUTES, LENGTH = Holds.TEXT, Holds.COUNT, Holds.MINUTES, Holds.LENGTH
SHOP_TIME, UTC = Holds.SHOP_TIME, Holds.UTC


@dataclass(frozen=True, slots=True)
class BatchLine:
    """A batch with its counts, its figures and its stages by name."""

    row: BatchRow
    figures: BatchFigures
    stages: tuple[tuple[str, StageFigures], ...]

    @property
    def settled(self) -> bool:
        """True once it is closed, where it was timed from the first step: its sums mean what they say."""
        return not (self.figures.so_far or self.figures.at_least)

    def per_piece_min(self, stage: str) -> float | None:
        """Run minutes at a stage for each piece that passed it."""
        return next((found.per_piece_min for name, found in self.stages if name == stage), None)

    def per_finished_min(self, stage: str) -> float:
        """Everything spent at a stage for each finished piece; 0 where none finished."""
        return next((found.per_finished_min or 0.0 for name, found in self.stages if name == stage), 0.0)

    @property
    def own(self) -> Minutes:
        """Labour that went into the finished pieces themselves."""
        return self.figures.whole.of_finished

    def each_min(self, us: int) -> float | None:
        """Return a part of what was spent, over the finished pieces; nothing where none finished."""
        return minutes(us) / self.figures.finished if self.figures.finished else None


def batch_lines(reading: ReadOnlyRecord, options: ExportOptions) -> Iterator[tuple[BatchLine, ShopFloor]]:
    """Yield the batches asked for, oldest first, each with the floor on which it lies whole; few stay in memory."""
    rows = [row for row in reading.reads.batches() if options.wants(row.id)]
    floors = reading.figure_floors(row.id for row in rows)
    for row, (_, floor) in zip(rows, floors, strict=True):
        found = figures(floor, row.id, options.now_us)
        stages = tuple((reading.floor.get(Stage, stage.stage_id).name, stage) for stage in found.stages)
        yield BatchLine(row, found, stages), floor


_BATCHES: tuple[SheetColumn[BatchLine], ...] = (
    TEXT("Batch", 12, lambda r: r.row.name, "The batch."),
    TEXT("Pattern", 12, lambda r: r.row.pattern, "Its pattern."),
    SHOP_TIME("Started (shop time)", 17, lambda r: r.row.started_us, "When it was started."),
    SHOP_TIME("Closed (shop time)", 17, lambda r: r.row.closed_us, "Empty while it is open."),
    COUNT("Begun (pieces)", 10, lambda r: r.figures.started, "Pieces that were begun."),
    COUNT(
        "Finished (pieces)",
        10,
        lambda r: r.figures.finished,
        "Finished pieces, seconds among them; while it is open, those in work too.",
    ),
    COUNT("Seconds (pieces)", 10, lambda r: r.figures.seconds, "Finished, but not first grade."),
    COUNT("Lost (pieces)", 10, lambda r: r.row.scrapped, "Pieces that were scrapped."),
    COUNT("Kept (pieces)", 10, lambda r: r.row.kept, "Kept as template or test piece."),
    COUNT("Cut down (pieces)", 10, lambda r: r.row.cut_down, "Went on in another batch."),
    LENGTH("Spent (h:mm)", 9, lambda r: r.figures.whole.all_us, "On all its pieces."),
    MINUTES("Spent (min)", 9, lambda r: minutes(r.figures.whole.all_us), "The same in decimal minutes."),
    MINUTES(
        "Per finished piece (min)",
        12,
        lambda r: r.figures.whole.per_finished_min,
        "Everything spent, over the finished pieces; empty where none finished.",
    ),
    MINUTES(
        "Its own (min)",
        10,
        lambda r: r.each_min(r.own.all_us),
        "The part of it that went into the finished pieces themselves.",
    ),
    MINUTES(
        "Carried (min)",
        10,
        lambda r: r.each_min(sum(r.figures.whole.carried.values())),
        "The part of it that was spent on pieces which did not finish.",
    ),
    MINUTES("Set-up in it (min)", 10, lambda r: r.each_min(r.own.setup_us), "The set-up among its own minutes."),
    MINUTES("Rework in it (min)", 10, lambda r: r.each_min(r.own.rework_us), "The rework among its own minutes."),
    TEXT("Next time", 12, lambda r: r.row.next_time, "What was noted for the next batch."),
    TEXT("Note", 14, lambda r: r.row.note, "What was noted about it."),
    TEXT("So far", 8, lambda r: yes(r.figures.so_far), "yes while the batch is open."),
    TEXT("At least", 9, lambda r: yes(r.figures.at_least), "yes where steps were not timed."),
)
BATCHES = Sheet("Batches", _BATCHES)


def _length_us(row: IntervalRow) -> int | None:
    return None if row.end_us is None else row.end_us - row.start_us


def _minutes(us: int | None) -> float | None:
    return None if us is None else minutes(us)


_ON_PAPER: tuple[SheetColumn[IntervalRow], ...] = (
    TEXT("Batch", 10, lambda r: r.batch, "The batch; empty for shop work."),
    TEXT("Pattern", 10, lambda r: r.pattern, "The batch's pattern."),
    TEXT("Stage", 10, lambda r: r.stage, "The stage, by its name of today."),
    TEXT("Step", 8, lambda r: r.step, "The step of the batch's route; empty for shop work."),
    TEXT("Method", 10, lambda r: r.method, "The way it was done, where the stage has several."),
    TEXT("Kind", 9, lambda r: r.kind.value, "hands-on, watch, wait or away."),
    TEXT("Work", 8, lambda r: r.work.value, "run, set-up or rework."),
    TEXT("Rework caused at", 14, lambda r: r.cause, "The step that made the rework necessary."),
    TEXT("Pieces", 9, lambda r: ", ".join(r.pieces), "The letters of the pieces it covered."),
    COUNT("Pieces (count)", 9, lambda r: len(r.pieces), "How many pieces it covered."),
    SHOP_TIME("Start (shop time)", 17, lambda r: r.start_us, "Its start by the shop's clock."),
    SHOP_TIME("End (shop time)", 17, lambda r: r.end_us, "Its end; empty while it runs."),
    LENGTH("Length (h:mm)", 9, _length_us, "From start to end; empty while it runs."),
    MINUTES("Length (min)", 9, lambda r: _minutes(_length_us(r)), "The same in decimal minutes."),
    LENGTH("Labour (h:mm)", 9, lambda r: r.labour_us, "What it got of the maker's hands."),
    MINUTES("Labour (min)", 9, lambda r: _minutes(r.labour_us), "The same in decimal minutes; empty while it runs."),
    TEXT("Tool", 8, lambda r: r.tool, "The tool it lay in, for work that goes in loads."),
    TEXT("Set to", 8, lambda r: r.setting, "The tool's setting."),
    COUNT("Load", 8, lambda r: r.load_id, "The load's number: what lay in the tool together."),
    TEXT("Times", 11, lambda r: r.certainty.value, "pressed, amended or estimated."),
)
_ON_SCREEN: tuple[SheetColumn[IntervalRow], ...] = (
    TEXT("Both at once", 10, lambda r: yes(r.together), "yes where two ran by hand on purpose."),
    TEXT("Maker", 9, lambda r: r.maker, "Whose hands."),
    TEXT("Note", 14, lambda r: r.note, "What was noted about it, in old notes too."),
    TEXT("Old notes", 10, lambda r: r.notes, "The file and row it was made of, if any."),
    UTC("Start (UTC)", 20, lambda r: r.start_us, "Its start in UTC."),
    UTC("End (UTC)", 20, lambda r: r.end_us, "Its end in UTC; empty while it runs."),
    TEXT("Key", 12, lambda r: r.uuid, "Names this interval for good, across exports."),
)
INTERVALS: Sheet[IntervalRow] = Sheet("Intervals", _ON_PAPER + _ON_SCREEN, printed=len(_ON_PAPER))


def _labour_us(row: PieceRow) -> int:
    return row.run_us + row.setup_us + row.rework_us


_PIECES: tuple[SheetColumn[PieceRow], ...] = (
    TEXT("Batch", 12, lambda r: r.batch, "The batch."),
    TEXT("Pattern", 12, lambda r: r.pattern, "The batch's pattern."),
    TEXT("Piece", 7, lambda r: r.mark, "Its letter."),
    TEXT("Number", 10, lambda r: r.number, "The number it was given later."),
    TEXT(
        "Outcome",
        11,
        lambda r: r.outcome and r.outcome.value,
        "finished, second, cut down, kept or scrapped; empty while in work.",
    ),
    TEXT("Set aside", 10, lambda r: yes(r.set_aside), "yes while it is set aside."),
    TEXT("Lost at", 10, lambda r: r.lost_at, "The step at which it was lost."),
    TEXT("Reason", 10, lambda r: r.reason, "Why it was lost."),
    SHOP_TIME("Ended (shop time)", 17, lambda r: r.ended_us, "When it got its outcome."),
    TEXT("From piece", 11, lambda r: r.from_piece, "The batch and letter it was cut down from."),
    TEXT("Note", 14, lambda r: r.note, "What was noted about it."),
    LENGTH("Labour (h:mm)", 9, _labour_us, "All that it got, ended work only."),
    MINUTES("Labour (min)", 9, lambda r: minutes(_labour_us(r)), "The same in decimal minutes."),
    MINUTES("Run (min)", 10, lambda r: minutes(r.run_us), "Its share of run."),
    MINUTES("Set-up (min)", 10, lambda r: minutes(r.setup_us), "Its share of set-up."),
    MINUTES("Rework (min)", 10, lambda r: minutes(r.rework_us), "Its share of rework."),
)
PIECES = Sheet("Pieces", _PIECES)


def _said(value: Measure | None) -> str:
    return "" if value is None else str(value)


_READINGS: tuple[SheetColumn[ReadingRow], ...] = (
    TEXT("Batch", 12, lambda r: r.batch, "The batch."),
    TEXT("Pattern", 12, lambda r: r.pattern, "The batch's pattern."),
    TEXT("Piece", 7, lambda r: r.mark, "Its letter; empty for a reading of all in the step."),
    TEXT("Number", 10, lambda r: r.number, "The number it was given later."),
    TEXT("Stage", 10, lambda r: r.stage, "The stage, by its name of today."),
    TEXT("Step", 10, lambda r: r.step, "The step of the batch's route."),
    TEXT("Reading", 12, lambda r: r.name, "What was measured."),
    TEXT("Measured", 10, lambda r: _said(r.measured), "As it was entered, with its unit."),
    MINUTES("Measured (value)", 10, lambda r: float(r.measured.value), "As a decimal."),
    TEXT("Unit", 12, lambda r: r.measured.unit, "The unit of the value."),
    TEXT("Target", 10, lambda r: _said(r.target), "What it should have been when measured."),
    TEXT("Low", 9, lambda r: _said(r.low), "The lower limit, as it is now."),
    TEXT("High", 9, lambda r: _said(r.high), "The upper limit, as it is now."),
    TEXT("Outside", 10, lambda r: r.outside, "How it lies outside its limits; empty inside."),
    TEXT(
        "Common practice",
        10,
        lambda r: yes(r.common_practice),
        "yes where the limits are the starter route's, common in the trade and without a source.",
    ),
    SHOP_TIME("Measured at (shop time)", 17, lambda r: r.at_us, "When, by the shop's clock."),
)
READINGS = Sheet("Readings", _READINGS)


@dataclass(frozen=True, slots=True)
class StageLine:
    """A stage of a batch with its figures."""

    batch: BatchLine
    stage: str
    figures: StageFigures


_STAGES: tuple[SheetColumn[StageLine], ...] = (
    TEXT("Batch", 12, lambda r: r.batch.row.name, "The batch."),
    TEXT("Pattern", 12, lambda r: r.batch.row.pattern, "The batch's pattern."),
    SHOP_TIME("Batch started (shop time)", 17, lambda r: r.batch.row.started_us, "When the batch was started."),
    TEXT("Stage", 12, lambda r: r.stage, "The stage, by its name of today."),
    COUNT("Passed (pieces)", 10, lambda r: r.figures.passed, "Pieces through the stage."),
    MINUTES(
        "Run per piece (min)",
        12,
        lambda r: r.figures.per_piece_min,
        "Minutes per piece: mean over the pieces that passed.",
    ),
    MINUTES("Set-up per piece (min)", 12, lambda r: r.figures.setup_per_piece_min, "The same of set-up."),
    MINUTES("Rework per piece (min)", 12, lambda r: r.figures.rework_per_piece_min, "The same of rework."),
    COUNT("Finished (pieces)", 10, lambda r: r.figures.finished, "Finished pieces of the batch."),
    MINUTES(
        "Per finished piece (min)",
        12,
        lambda r: r.figures.per_finished_min,
        "Everything spent at the stage over the finished pieces; empty where none finished.",
    ),
    LENGTH("Spent (h:mm)", 9, lambda r: r.figures.all_us, "Everything spent at the stage, on all pieces."),
    MINUTES("Spent (min)", 9, lambda r: minutes(r.figures.all_us), "The same in decimal minutes."),
    MINUTES(
        "Of it on lost (min)",
        12,
        lambda r: minutes(r.figures.carried[LOST]),
        "The part spent on pieces that were scrapped.",
    ),
    MINUTES(
        "Of it on kept (min)",
        12,
        lambda r: minutes(r.figures.carried[KEPT]),
        "The part spent on pieces kept as template or test piece.",
    ),
    MINUTES(
        "Of it on cut down (min)",
        12,
        lambda r: minutes(r.figures.carried[CUT_DOWN]),
        "The part spent on pieces that went on in another batch.",
    ),
    TEXT(
        "So far",
        8,
        lambda r: yes(r.batch.figures.so_far),
        "yes while the batch is open: pieces in work count as finished.",
    ),
    TEXT("At least", 9, lambda r: yes(r.batch.figures.at_least), "yes where steps of the batch were not timed."),
)
STAGES = Sheet("Stages by batch", _STAGES)
