"""Views for whoever reads the record with other tools: names instead of numbers, ISO times, minutes.

Nothing is stored in them, and the program reads none of them. Each column stands here once: the view is made of this
table, and so is the manual's page.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ViewColumn:
    """A column of a view: its name, the SQL that it is made of, and what it tells."""

    name: str
    sql: str
    tells: str


@dataclass(frozen=True, slots=True)
class View:
    """A view: its name, one line about a row, its columns, and where they come from (SQL after FROM)."""

    name: str
    tells: str
    columns: tuple[ViewColumn, ...]
    source: str

    @property
    def sql(self) -> str:
        """The statement that makes it."""
        columns = ",\n    ".join(f'{column.sql} AS "{column.name}"' for column in self.columns)
        return f"CREATE VIEW {self.name} AS\nSELECT\n    {columns}\nFROM {self.source}"


def _iso(us: str) -> str:
    """SQL of an instant as 2026-03-07T19:10:00.000000Z."""
    return f"strftime('%Y-%m-%dT%H:%M:%S', {us} / 1000000, 'unixepoch') || printf('.%06dZ', {us} % 1000000)"


def _min(us: str) -> str:
    """SQL of microseconds as decimal minutes."""
    return f"({us}) / 60e6"


def _number(text: str) -> str:
    """SQL of a value that was typed as 58.5, 3/32 or 1 3/32, as a number."""
    over = f"substr({text}, instr({text}, ' ') + 1)"
    whole = f"CASE WHEN instr({text}, ' ') > 0 THEN CAST({text} AS REAL) ELSE 0 END"
    return (
        f"CASE WHEN instr({text}, '/') = 0 THEN CAST({text} AS REAL)"
        f" ELSE {whole} + CAST({over} AS REAL) / CAST(substr({over}, instr({over}, '/') + 1) AS REAL) END"
    )


C = ViewColumn

INTERVAL_FLAT = View(
    "interval_flat",
    "One row an interval: an unbroken stretch at one step by one maker.",
    (
        C("key", "i.uuid", "names the interval for good"),
        C("batch", "b.name", "the batch; NULL for shop work"),
        C("pattern", "pattern.name", "the batch's pattern"),
        C("stage", "stage.name", "the stage, by its name of today"),
        C("step", "step.name", "the step of the batch's route; NULL for shop work"),
        C("method", "method.name", "the way it was done; NULL where the stage has no methods"),
        C("maker", "maker.name", "whose hands"),
        C("kind", "i.kind", "hands-on, watch (somebody stays by it), wait (nobody needed) or away (sent out)"),
        C("work", "i.work", "run, set-up (what one more piece would not add to) or rework"),
        C("caused_at", "cause.name", "the step that made a rework necessary; NULL where it isn't known"),
        C("pieces", "(SELECT group_concat(mark, ', ') FROM (SELECT mark FROM interval_piece"
          " JOIN piece ON piece.id = piece_id WHERE interval_id = i.id ORDER BY position, piece.id))",
          "letters of the pieces that it covered"),
        C("piece_count", "(SELECT count(*) FROM interval_piece WHERE interval_id = i.id)", "how many they are"),
        C("start", _iso("i.start_us"), "its start, UTC"),
        C("end", _iso("i.end_us"), "its end, UTC; NULL while it runs"),
        C("length_min", _min("i.end_us - i.start_us"), "from start to end; NULL while it runs"),
        C("labour_min", "CASE WHEN i.end_us IS NULL THEN NULL ELSE " + _min("coalesce(labour.us, 0)") + " END",
          "what it got of one pair of hands; 0 for waits, NULL while it runs"),
        C("certainty", "CASE WHEN 'estimated' IN (i.start_sure, i.end_sure) THEN 'estimated'"
          " WHEN 'amended' IN (i.start_sure, i.end_sure) THEN 'amended' ELSE 'pressed' END",
          "pressed, amended (a time that the maker chose) or estimated (guessed): the worse of its two ends"),
        C("both_at_once", "i.together", "1 where two ran by hand on purpose"),
        C("tool", "tool.name", "the tool that it lay in"),
        C("setting", "load.setting", "the tool's setting"),
        C("load", "i.load_id", "number of the load: what lay in the tool together"),
    ),
    "interval i JOIN stage ON stage.id = i.stage_id JOIN maker ON maker.id = i.maker_id"
    " LEFT JOIN batch b ON b.id = i.batch_id LEFT JOIN pattern ON pattern.id = b.pattern_id"
    " LEFT JOIN step ON step.id = i.step_id LEFT JOIN method ON method.id = i.method_id"
    " LEFT JOIN step cause ON cause.id = i.cause_step_id LEFT JOIN load ON load.id = i.load_id"
    " LEFT JOIN tool ON tool.id = load.tool_id LEFT JOIN labour ON labour.interval_id = i.id",
)  # fmt: skip

_FINISHED = "coalesce(p.outcome IN ('finished', 'second'), 0)"

PIECE_LABOUR = View(
    "piece_labour",
    "One row a piece, step and kind of work: its shares of ended work.",
    (
        C("batch", "b.name", "the batch"),
        C("pattern", "pattern.name", "its pattern"),
        C("piece", "p.mark", "the piece's letter"),
        C("number", "p.number", "the number that it was given later"),
        C("outcome", "p.outcome",
          "finished, second (finished, not first grade), cut down (went on in another batch), kept (template, test"
          " piece) or scrapped; NULL while it lives"),
        C("finished", _FINISHED, "1 for finished and second: both count as finished"),
        C("stage", "stage.name", "the stage"),
        C("step", "step.name", "the step"),
        C("work", "i.work", "run, set-up or rework"),
        C("labour_min", _min("sum(share.us)"), "its shares"),
    ),
    "share JOIN interval i ON i.id = share.interval_id JOIN piece p ON p.id = share.piece_id"
    " JOIN batch b ON b.id = p.batch_id JOIN pattern ON pattern.id = b.pattern_id"
    " JOIN step ON step.id = i.step_id JOIN stage ON stage.id = i.stage_id"
    " GROUP BY p.id, i.step_id, i.work",
)  # fmt: skip

_PASSED = "(SELECT {0} FROM stage_row r WHERE r.batch_id = b.id AND r.stage_id = stage.id)"
_OF = "sum(CASE WHEN {0} THEN share.us ELSE 0 END)"

BATCH_STAGE = View(
    "batch_stage",
    "One row a stage in a batch: what it took.",
    (
        C("batch", "b.name", "the batch"),
        C("pattern", "pattern.name", "its pattern"),
        C("started", _iso("b.started_us"), "when the batch was started, UTC"),
        C("closed", _iso("b.closed_us"), "when it was closed, UTC; NULL while it is open"),
        C("stage", "stage.name", "the stage"),
        C("passed", _PASSED.format("sum(r.pieces)"), "pieces that passed the stage; NULL until the batch is closed"),
        C("passed_run_min", _PASSED.format("sum(r.run_us) / 60e6 / nullif(sum(r.pieces), 0)"),
          "minutes per piece: mean run of the passed ones; NULL until the batch is closed"),
        C("spent_min", _min("sum(share.us)"), "labour at the stage, on all pieces"),
        C("finished_min", _min(_OF.format(_FINISHED)), "the part of it that went into finished pieces (seconds too)"),
        C("carried_min", _min(_OF.format("p.outcome IN ('scrapped', 'kept', 'cut down')")),
          "the part that went into pieces which did not finish"),
    ),
    "share JOIN interval i ON i.id = share.interval_id JOIN piece p ON p.id = share.piece_id"
    " JOIN batch b ON b.id = p.batch_id JOIN pattern ON pattern.id = b.pattern_id JOIN stage ON stage.id = i.stage_id"
    " GROUP BY b.id, stage.id",
)  # fmt: skip

READING_FLAT = View(
    "reading_flat",
    "One row a reading.",
    (
        C("batch", "b.name", "the batch"),
        C("pattern", "pattern.name", "its pattern"),
        C("piece", "p.mark", "the piece's letter; NULL for a reading of all in the step"),
        C("number", "p.number", "the number that it was given later"),
        C("stage", "stage.name", "the stage"),
        C("step", "step.name", "the step"),
        C("reading", "k.name", "what was measured"),
        C("measured", "r.measured", "the value as it was entered"),
        C("measured_value", _number("r.measured"), "the same as a number: 1.09375 for 1 3/32"),
        C("unit", "r.unit", "its unit"),
        C("target", "r.target", "what it should have been when measured, in target_unit"),
        C("target_unit", "r.target_unit", "the target's unit"),
        C("low", "k.low", "the lower limit of today, in limit_unit"),
        C("high", "k.high", "the upper limit of today, in limit_unit"),
        C("limit_unit", "k.unit", "the limits' unit"),
        C("at", _iso("r.at_us"), "when it was taken, UTC"),
    ),
    "reading r JOIN reading_kind k ON k.id = r.kind_id JOIN step ON step.id = r.step_id"
    " JOIN stage ON stage.id = step.stage_id JOIN batch b ON b.id = step.batch_id"
    " JOIN pattern ON pattern.id = b.pattern_id LEFT JOIN piece p ON p.id = r.piece_id",
)

VIEWS = (INTERVAL_FLAT, PIECE_LABOUR, BATCH_STAGE, READING_FLAT)
