"""The sheet of every piece: how it ended and what went into it."""

from shopclock.exchange.cells import Column, Holds, Sheet, minutes, yes
from shopclock.record.reads import PieceRow


def _outcome(row: PieceRow) -> str:
    return "" if row.outcome is None else row.outcome.value


def _labour_us(row: PieceRow) -> int:
    return row.run_us + row.setup_us + row.rework_us


PIECES: Sheet[PieceRow] = Sheet(
    "Pieces",
    (
        Column("Batch", Holds.TEXT, 12, lambda row: row.batch, "The batch."),
        Column("Pattern", Holds.TEXT, 12, lambda row: row.pattern, "The batch's pattern."),
        Column("Piece", Holds.TEXT, 7, lambda row: row.mark, "Its letter."),
        Column("Number", Holds.TEXT, 10, lambda row: row.number, "The number it was given later."),
        Column(
            "Outcome", Holds.TEXT, 11, _outcome, "finished, second, cut down, kept or scrapped; empty while in work."
        ),
        Column("Set aside", Holds.TEXT, 10, lambda row: yes(row.set_aside), "yes while it is set aside."),
        Column("Lost at", Holds.TEXT, 10, lambda row: row.lost_at, "The step at which it was lost."),
        Column("Reason", Holds.TEXT, 10, lambda row: row.reason, "Why it was lost."),
        Column("Ended (shop time)", Holds.SHOP_TIME, 17, lambda row: row.ended_us, "When it got its outcome."),
        Column("From piece", Holds.TEXT, 11, lambda row: row.from_piece, "The batch and letter it was cut down from."),
        Column("Labour (h:mm)", Holds.LENGTH, 9, _labour_us, "All that it got, ended work only."),
        Column("Labour (min)", Holds.MINUTES, 9, lambda row: minutes(_labour_us(row)), "The same in decimal minutes."),
        Column("Run (min)", Holds.MINUTES, 10, lambda row: minutes(row.run_us), "Its share of run."),
        Column("Set-up (min)", Holds.MINUTES, 10, lambda row: minutes(row.setup_us), "Its share of set-up."),
        Column("Rework (min)", Holds.MINUTES, 10, lambda row: minutes(row.rework_us), "Its share of rework."),
    ),
)
