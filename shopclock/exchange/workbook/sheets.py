"""The workbook's plain sheets, a table of columns each: intervals, batches, pieces, readings."""

from shopclock.exchange.workbook.cells import Holds, Sheet, SheetColumn, minutes, yes
from shopclock.exchange.workbook.figure_sheets import BatchLine
from shopclock.record.read.rows import IntervalRow, PieceRow, ReadingRow
from shopclock.shop.figures.batch_figures import Minutes
from shopclock.shop.values.measure import Measure


def _of_finished(row: BatchLine) -> Minutes:
    return row.figures.whole.of_finished


def _per_finished(row: BatchLine, us: int) -> float | None:
    finished = row.figures.finished
    return minutes(us) / finished if finished else None


BATCHES: Sheet[BatchLine] = Sheet(
    "Batches",
    (
        SheetColumn("Batch", Holds.TEXT, 12, lambda row: row.row.name, "The batch."),
        SheetColumn("Pattern", Holds.TEXT, 12, lambda row: row.row.pattern, "Its pattern."),
        SheetColumn("Started (shop time)", Holds.SHOP_TIME, 17, lambda row: row.row.started_us, "When it was started."),
        SheetColumn(
            "Closed (shop time)", Holds.SHOP_TIME, 17, lambda row: row.row.closed_us, "Empty while it is open."
        ),
        SheetColumn("Begun (pieces)", Holds.COUNT, 10, lambda row: row.figures.started, "Pieces that were begun."),
        SheetColumn(
            "Finished (pieces)",
            Holds.COUNT,
            10,
            lambda row: row.figures.finished,
            "Finished pieces, seconds among them; while it is open, those in work too.",
        ),
        SheetColumn(
            "Seconds (pieces)", Holds.COUNT, 10, lambda row: row.figures.seconds, "Finished, but not first grade."
        ),
        SheetColumn("Lost (pieces)", Holds.COUNT, 10, lambda row: row.row.scrapped, "Pieces that were scrapped."),
        SheetColumn("Kept (pieces)", Holds.COUNT, 10, lambda row: row.row.kept, "Kept as template or test piece."),
        SheetColumn("Cut down (pieces)", Holds.COUNT, 10, lambda row: row.row.cut_down, "Went on in another batch."),
        SheetColumn("Spent (h:mm)", Holds.LENGTH, 9, lambda row: row.figures.whole.all_us, "On all its pieces."),
        SheetColumn(
            "Spent (min)",
            Holds.MINUTES,
            9,
            lambda row: minutes(row.figures.whole.all_us),
            "The same in decimal minutes.",
        ),
        SheetColumn(
            "Per finished piece (min)",
            Holds.MINUTES,
            12,
            lambda row: row.figures.whole.per_finished_min,
            "Everything spent, over the finished pieces; empty where none finished.",
        ),
        SheetColumn(
            "Its own (min)",
            Holds.MINUTES,
            10,
            lambda row: _per_finished(row, _of_finished(row).all_us),
            "The part of it that went into the finished pieces themselves.",
        ),
        SheetColumn(
            "Carried (min)",
            Holds.MINUTES,
            10,
            lambda row: _per_finished(row, sum(row.figures.whole.carried.values())),
            "The part of it that was spent on pieces which did not finish.",
        ),
        SheetColumn(
            "Set-up in it (min)",
            Holds.MINUTES,
            10,
            lambda row: _per_finished(row, _of_finished(row).setup_us),
            "The set-up among its own minutes.",
        ),
        SheetColumn(
            "Rework in it (min)",
            Holds.MINUTES,
            10,
            lambda row: _per_finished(row, _of_finished(row).rework_us),
            "The rework among its own minutes.",
        ),
        SheetColumn("Next time", Holds.TEXT, 12, lambda row: row.row.next_time, "What was noted for the next batch."),
        SheetColumn("So far", Holds.TEXT, 8, lambda row: yes(row.figures.so_far), "yes while the batch is open."),
        SheetColumn(
            "At least", Holds.TEXT, 9, lambda row: yes(row.figures.at_least), "yes where steps were not timed."
        ),
    ),
)


def _length_us(row: IntervalRow) -> int | None:
    return None if row.end_us is None else row.end_us - row.start_us


def _length_min(row: IntervalRow) -> float | None:
    return None if row.end_us is None else minutes(row.end_us - row.start_us)


def _labour_min(row: IntervalRow) -> float | None:
    return None if row.labour_us is None else minutes(row.labour_us)


_ON_PAPER: tuple[SheetColumn[IntervalRow], ...] = (
    SheetColumn("Batch", Holds.TEXT, 10, lambda row: row.batch, "The batch; empty for shop work."),
    SheetColumn("Pattern", Holds.TEXT, 10, lambda row: row.pattern, "The batch's pattern."),
    SheetColumn("Stage", Holds.TEXT, 10, lambda row: row.stage, "The stage, by its name of today."),
    SheetColumn("Step", Holds.TEXT, 8, lambda row: row.step, "The step of the batch's route; empty for shop work."),
    SheetColumn("Method", Holds.TEXT, 10, lambda row: row.method, "The way it was done, where the stage has several."),
    SheetColumn("Kind", Holds.TEXT, 9, lambda row: row.kind.value, "hands-on, watch, wait or away."),
    SheetColumn("Work", Holds.TEXT, 8, lambda row: row.work.value, "run, set-up or rework."),
    SheetColumn("Rework caused at", Holds.TEXT, 14, lambda row: row.cause, "The step that made the rework necessary."),
    SheetColumn("Pieces", Holds.TEXT, 9, lambda row: ", ".join(row.pieces), "The letters of the pieces it covered."),
    SheetColumn("Pieces (count)", Holds.COUNT, 9, lambda row: len(row.pieces), "How many pieces it covered."),
    SheetColumn("Start (shop time)", Holds.SHOP_TIME, 17, lambda row: row.start_us, "Its start by the shop's clock."),
    SheetColumn("End (shop time)", Holds.SHOP_TIME, 17, lambda row: row.end_us, "Its end; empty while it runs."),
    SheetColumn("Length (h:mm)", Holds.LENGTH, 9, _length_us, "From start to end; empty while it runs."),
    SheetColumn("Length (min)", Holds.MINUTES, 9, _length_min, "The same in decimal minutes."),
    SheetColumn("Labour (h:mm)", Holds.LENGTH, 9, lambda row: row.labour_us, "What it got of the maker's hands."),
    SheetColumn("Labour (min)", Holds.MINUTES, 9, _labour_min, "The same in decimal minutes; empty while it runs."),
    SheetColumn("Tool", Holds.TEXT, 8, lambda row: row.tool, "The tool it lay in, for work that goes in loads."),
    SheetColumn("Set to", Holds.TEXT, 8, lambda row: row.setting, "The tool's setting."),
    SheetColumn("Load", Holds.COUNT, 8, lambda row: row.load_id, "The load's number: what lay in the tool together."),
    SheetColumn("Times", Holds.TEXT, 11, lambda row: row.certainty.value, "pressed, amended or estimated."),
)
_ON_SCREEN: tuple[SheetColumn[IntervalRow], ...] = (
    SheetColumn("Both at once", Holds.TEXT, 10, lambda row: yes(row.together), "yes where two ran by hand on purpose."),
    SheetColumn("Maker", Holds.TEXT, 9, lambda row: row.maker, "Whose hands."),
    SheetColumn("Old notes", Holds.TEXT, 10, lambda row: row.notes, "The file and row it was made of, if any."),
    SheetColumn("Start (UTC)", Holds.UTC, 20, lambda row: row.start_us, "Its start in UTC."),
    SheetColumn("End (UTC)", Holds.UTC, 20, lambda row: row.end_us, "Its end in UTC; empty while it runs."),
    SheetColumn("Key", Holds.TEXT, 12, lambda row: row.uuid, "Names this interval for good, across exports."),
)
INTERVALS: Sheet[IntervalRow] = Sheet("Intervals", _ON_PAPER + _ON_SCREEN, printed=len(_ON_PAPER))


def _outcome(row: PieceRow) -> str:
    return "" if row.outcome is None else row.outcome.value


def _labour_us(row: PieceRow) -> int:
    return row.run_us + row.setup_us + row.rework_us


PIECES: Sheet[PieceRow] = Sheet(
    "Pieces",
    (
        SheetColumn("Batch", Holds.TEXT, 12, lambda row: row.batch, "The batch."),
        SheetColumn("Pattern", Holds.TEXT, 12, lambda row: row.pattern, "The batch's pattern."),
        SheetColumn("Piece", Holds.TEXT, 7, lambda row: row.mark, "Its letter."),
        SheetColumn("Number", Holds.TEXT, 10, lambda row: row.number, "The number it was given later."),
        SheetColumn(
            "Outcome", Holds.TEXT, 11, _outcome, "finished, second, cut down, kept or scrapped; empty while in work."
        ),
        SheetColumn("Set aside", Holds.TEXT, 10, lambda row: yes(row.set_aside), "yes while it is set aside."),
        SheetColumn("Lost at", Holds.TEXT, 10, lambda row: row.lost_at, "The step at which it was lost."),
        SheetColumn("Reason", Holds.TEXT, 10, lambda row: row.reason, "Why it was lost."),
        SheetColumn("Ended (shop time)", Holds.SHOP_TIME, 17, lambda row: row.ended_us, "When it got its outcome."),
        SheetColumn(
            "From piece", Holds.TEXT, 11, lambda row: row.from_piece, "The batch and letter it was cut down from."
        ),
        SheetColumn("Labour (h:mm)", Holds.LENGTH, 9, _labour_us, "All that it got, ended work only."),
        SheetColumn(
            "Labour (min)", Holds.MINUTES, 9, lambda row: minutes(_labour_us(row)), "The same in decimal minutes."
        ),
        SheetColumn("Run (min)", Holds.MINUTES, 10, lambda row: minutes(row.run_us), "Its share of run."),
        SheetColumn("Set-up (min)", Holds.MINUTES, 10, lambda row: minutes(row.setup_us), "Its share of set-up."),
        SheetColumn("Rework (min)", Holds.MINUTES, 10, lambda row: minutes(row.rework_us), "Its share of rework."),
    ),
)


def _text(value: Measure | None) -> str:
    return "" if value is None else str(value)


READINGS: Sheet[ReadingRow] = Sheet(
    "Readings",
    (
        SheetColumn("Batch", Holds.TEXT, 12, lambda row: row.batch, "The batch."),
        SheetColumn("Pattern", Holds.TEXT, 12, lambda row: row.pattern, "The batch's pattern."),
        SheetColumn(
            "Piece", Holds.TEXT, 7, lambda row: row.mark, "Its letter; empty for a reading of all in the step."
        ),
        SheetColumn("Number", Holds.TEXT, 10, lambda row: row.number, "The number it was given later."),
        SheetColumn("Stage", Holds.TEXT, 10, lambda row: row.stage, "The stage, by its name of today."),
        SheetColumn("Step", Holds.TEXT, 10, lambda row: row.step, "The step of the batch's route."),
        SheetColumn("Reading", Holds.TEXT, 12, lambda row: row.name, "What was measured."),
        SheetColumn("Measured", Holds.TEXT, 10, lambda row: _text(row.measured), "As it was entered, with its unit."),
        SheetColumn("Measured (value)", Holds.MINUTES, 10, lambda row: float(row.measured.value), "As a decimal."),
        SheetColumn("Unit", Holds.TEXT, 12, lambda row: row.measured.unit, "The unit of the value."),
        SheetColumn("Target", Holds.TEXT, 10, lambda row: _text(row.target), "What it should have been when measured."),
        SheetColumn("Low", Holds.TEXT, 9, lambda row: _text(row.low), "The lower limit, as it is now."),
        SheetColumn("High", Holds.TEXT, 9, lambda row: _text(row.high), "The upper limit, as it is now."),
        SheetColumn(
            "Outside", Holds.TEXT, 10, lambda row: row.outside, "How it lies outside its limits; empty inside."
        ),
        SheetColumn(
            "Common practice",
            Holds.TEXT,
            10,
            lambda row: yes(row.common_practice),
            "yes where the limits are the starter route's, common in the trade and without a source.",
        ),
        SheetColumn(
            "Measured at (shop time)", Holds.SHOP_TIME, 17, lambda row: row.at_us, "When, by the shop's clock."
        ),
    ),
)
