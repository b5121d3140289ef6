"""The sheet of every interval, one row each, in the order they were started."""

from shopclock.exchange.cells import Column, Holds, Sheet, minutes, yes
from shopclock.record.interval_rows import IntervalRow


def _length_us(row: IntervalRow) -> int | None:
    return None if row.end_us is None else row.end_us - row.start_us


def _length_min(row: IntervalRow) -> float | None:
    return None if row.end_us is None else minutes(row.end_us - row.start_us)


def _labour_min(row: IntervalRow) -> float | None:
    return None if row.labour_us is None else minutes(row.labour_us)


_ON_PAPER: tuple[Column[IntervalRow], ...] = (
    Column("Batch", Holds.TEXT, 10, lambda row: row.batch, "The batch; empty for shop work."),
    Column("Pattern", Holds.TEXT, 10, lambda row: row.pattern, "The batch's pattern."),
    Column("Stage", Holds.TEXT, 10, lambda row: row.stage, "The stage, by its name of today."),
    Column("Step", Holds.TEXT, 8, lambda row: row.step, "The step of the batch's route; empty for shop work."),
    Column("Method", Holds.TEXT, 10, lambda row: row.method, "The way it was done, where the stage has several."),
    Column("Kind", Holds.TEXT, 9, lambda row: row.kind.value, "hands-on, watch, wait or away."),
    Column("Work", Holds.TEXT, 8, lambda row: row.work.value, "run, set-up or rework."),
    Column("Rework caused at", Holds.TEXT, 14, lambda row: row.cause, "The step that made the rework necessary."),
    Column("Pieces", Holds.TEXT, 9, lambda row: ", ".join(row.pieces), "The letters of the pieces it covered."),
    Column("Pieces (count)", Holds.COUNT, 9, lambda row: len(row.pieces), "How many pieces it covered."),
    Column("Start (shop time)", Holds.SHOP_TIME, 17, lambda row: row.start_us, "Its start by the shop's clock."),
    Column("End (shop time)", Holds.SHOP_TIME, 17, lambda row: row.end_us, "Its end; empty while it runs."),
    Column("Length (h:mm)", Holds.LENGTH, 9, _length_us, "From start to end; empty while it runs."),
    Column("Length (min)", Holds.MINUTES, 9, _length_min, "The same in decimal minutes."),
    Column("Labour (h:mm)", Holds.LENGTH, 9, lambda row: row.labour_us, "What it got of the maker's hands."),
    Column("Labour (min)", Holds.MINUTES, 9, _labour_min, "The same in decimal minutes; empty while it runs."),
    Column("Tool", Holds.TEXT, 8, lambda row: row.tool, "The tool it lay in, for work that goes in loads."),
    Column("Set to", Holds.TEXT, 8, lambda row: row.setting, "The tool's setting."),
    Column("Load", Holds.COUNT, 8, lambda row: row.load_id, "The load's number: what lay in the tool together."),
    Column("Times", Holds.TEXT, 11, lambda row: row.certainty.value, "pressed, amended or estimated."),
)
_ON_SCREEN: tuple[Column[IntervalRow], ...] = (
    Column("Both at once", Holds.TEXT, 10, lambda row: yes(row.together), "yes where two ran by hand on purpose."),
    Column("Maker", Holds.TEXT, 9, lambda row: row.maker, "Whose hands."),
    Column("Old notes", Holds.TEXT, 10, lambda row: row.notes, "The file and row it was made of, if any."),
    Column("Start (UTC)", Holds.UTC, 20, lambda row: row.start_us, "Its start in UTC."),
    Column("End (UTC)", Holds.UTC, 20, lambda row: row.end_us, "Its end in UTC; empty while it runs."),
    Column("Key", Holds.TEXT, 12, lambda row: row.uuid, "Names this interval for good, across exports."),
)
INTERVALS: Sheet[IntervalRow] = Sheet("Intervals", _ON_PAPER + _ON_SCREEN, printed=len(_ON_PAPER))
