"""The sheet of every batch: its pieces by how they ended, and the minutes that went into them."""

from shopclock.exchange.cells import Column, Holds, Sheet, minutes, yes
from shopclock.exchange.figure_sheets import BatchLine
from shopclock.shop.figures import Minutes


def _of_finished(row: BatchLine) -> Minutes:
    return row.figures.whole.of_finished


def _per_finished(row: BatchLine, us: int) -> float | None:
    finished = row.figures.finished
    return minutes(us) / finished if finished else None


BATCHES: Sheet[BatchLine] = Sheet(
    "Batches",
    (
        Column("Batch", Holds.TEXT, 12, lambda row: row.row.name, "The batch."),
        Column("Pattern", Holds.TEXT, 12, lambda row: row.row.pattern, "Its pattern."),
        Column("Started (shop time)", Holds.SHOP_TIME, 17, lambda row: row.row.started_us, "When it was started."),
        Column("Closed (shop time)", Holds.SHOP_TIME, 17, lambda row: row.row.closed_us, "Empty while it is open."),
        Column("Begun (pieces)", Holds.COUNT, 10, lambda row: row.figures.started, "Pieces that were begun."),
        Column(
            "Finished (pieces)",
            Holds.COUNT,
            10,
            lambda row: row.figures.finished,
            "Finished pieces, seconds among them; while it is open, those in work too.",
        ),
        Column("Seconds (pieces)", Holds.COUNT, 10, lambda row: row.figures.seconds, "Finished, but not first grade."),
        Column("Lost (pieces)", Holds.COUNT, 10, lambda row: row.row.scrapped, "Pieces that were scrapped."),
        Column("Kept (pieces)", Holds.COUNT, 10, lambda row: row.row.kept, "Kept as template or test piece."),
        Column("Cut down (pieces)", Holds.COUNT, 10, lambda row: row.row.cut_down, "Went on in another batch."),
        Column("Spent (h:mm)", Holds.LENGTH, 9, lambda row: row.figures.whole.all_us, "On all its pieces."),
        Column(
            "Spent (min)",
            Holds.MINUTES,
            9,
            lambda row: minutes(row.figures.whole.all_us),
            "The same in decimal minutes.",
        ),
        Column(
            "Per finished piece (min)",
            Holds.MINUTES,
            12,
            lambda row: row.figures.whole.per_finished_min,
            "Everything spent, over the finished pieces; empty where none finished.",
        ),
        Column(
            "Its own (min)",
            Holds.MINUTES,
            10,
            lambda row: _per_finished(row, _of_finished(row).all_us),
            "The part of it that went into the finished pieces themselves.",
        ),
        Column(
            "Carried (min)",
            Holds.MINUTES,
            10,
            lambda row: _per_finished(row, sum(row.figures.whole.carried.values())),
            "The part of it that was spent on pieces which did not finish.",
        ),
        Column(
            "Set-up in it (min)",
            Holds.MINUTES,
            10,
            lambda row: _per_finished(row, _of_finished(row).setup_us),
            "The set-up among its own minutes.",
        ),
        Column(
            "Rework in it (min)",
            Holds.MINUTES,
            10,
            lambda row: _per_finished(row, _of_finished(row).rework_us),
            "The rework among its own minutes.",
        ),
        Column("Next time", Holds.TEXT, 12, lambda row: row.row.next_time, "What was noted for the next batch."),
        Column("So far", Holds.TEXT, 8, lambda row: yes(row.figures.so_far), "yes while the batch is open."),
        Column("At least", Holds.TEXT, 9, lambda row: yes(row.figures.at_least), "yes where steps were not timed."),
    ),
)
