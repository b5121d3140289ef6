"""The sheet of every reading: what was measured, what it should have been, and its limits as they are now."""

from shopclock.exchange.cells import Column, Holds, Sheet, yes
from shopclock.record.reading_rows import ReadingRow
from shopclock.shop.measure import Measure


def _text(value: Measure | None) -> str:
    return "" if value is None else str(value)


READINGS: Sheet[ReadingRow] = Sheet(
    "Readings",
    (
        Column("Batch", Holds.TEXT, 12, lambda row: row.batch, "The batch."),
        Column("Pattern", Holds.TEXT, 12, lambda row: row.pattern, "The batch's pattern."),
        Column("Piece", Holds.TEXT, 7, lambda row: row.mark, "Its letter; empty for a reading of all in the step."),
        Column("Number", Holds.TEXT, 10, lambda row: row.number, "The number it was given later."),
        Column("Stage", Holds.TEXT, 10, lambda row: row.stage, "The stage, by its name of today."),
        Column("Step", Holds.TEXT, 10, lambda row: row.step, "The step of the batch's route."),
        Column("Reading", Holds.TEXT, 12, lambda row: row.name, "What was measured."),
        Column("Measured", Holds.TEXT, 10, lambda row: _text(row.measured), "As it was entered, with its unit."),
        Column("Measured (value)", Holds.MINUTES, 10, lambda row: float(row.measured.value), "As a decimal."),
        Column("Unit", Holds.TEXT, 12, lambda row: row.measured.unit, "The unit of the value."),
        Column("Target", Holds.TEXT, 10, lambda row: _text(row.target), "What it should have been when measured."),
        Column("Low", Holds.TEXT, 9, lambda row: _text(row.low), "The lower limit, as it is now."),
        Column("High", Holds.TEXT, 9, lambda row: _text(row.high), "The upper limit, as it is now."),
        Column("Outside", Holds.TEXT, 10, lambda row: row.outside, "How it lies outside its limits; empty inside."),
        Column(
            "Common practice",
            Holds.TEXT,
            10,
            lambda row: yes(row.common_practice),
            "yes where the limits are the starter route's, common in the trade and without a source.",
        ),
        Column("Measured at (shop time)", Holds.SHOP_TIME, 17, lambda row: row.at_us, "When, by the shop's clock."),
    ),
)
