"""The record for scripts and notebooks, as data frames.

    import shopclock

    with shopclock.open("shop.shopclock") as shop:
        bevels = shop.stages().query("stage == 'Bevels' and not so_far")
        print(bevels[["batch", "passed_run_min"]])

`shop.trend("bevels")` and `shop.forecast("Paring 95", 6)` answer what Trends and Plan do, as small results.

Everything is read; nothing here writes. Instants are UTC (`datetime64[us, UTC]`), lengths `timedelta64[us]`; what ends
in `_min` is a quotient in decimal minutes. What isn't there is NaT, NaN or an empty text. Names of columns stay as
they are within a major version; new ones may be added.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Any, Generic, Self, TypeVar, cast

from shopclock.exchange.api_results import Forecast, Trend, forecast, trends
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.exchange.workbook.sheets import batch_lines
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.planning.orders import pieces_of
from shopclock.shop.state.wording import zone_of
from shopclock.shop.values.entities import Batch, CustomerOrder, Pattern
from shopclock.shop.values.kinds import Outcome

if TYPE_CHECKING:
    import os
    from collections.abc import Callable, Iterable, Mapping
    from zoneinfo import ZoneInfo

    import pandas as pd

    from shopclock.exchange.workbook.sheets import BatchLine
    from shopclock.record.read.rows import IntervalRow, PieceRow, ReadingRow
    from shopclock.shop.figures.batch_figures import StageFigures
    from shopclock.shop.values.measure import Measure

R = TypeVar("R")


class Holds(Enum):
    """Kind of value in a column, as pandas calls it. An instant and a length come as microseconds."""

    TEXT = "str"
    FLAG = "bool"
    COUNT = "int64"
    NUMBER = "float64"
    MONEY = "object"
    INSTANT = "datetime64[us, UTC]"
    LENGTH = "timedelta64[us]"

    def __call__(self, name: str, of: Callable[[R], Any], tells: str) -> FrameColumn[R]:
        """Return a column of such values."""
        return FrameColumn(name, self, of, tells)


@dataclass(frozen=True, slots=True)
class FrameColumn(Generic[R]):
    """One column of a frame: its name, its kind of value, where that comes from, and what it tells (for the manual)."""

    name: str
    holds: Holds
    of: Callable[[R], Any]
    tells: str


TEXT, FLAG, COUNT, NUMBER = Holds.TEXT, Holds.FLAG, Holds.COUNT, Holds.NUMBER
MONEY, INSTANT, LENGTH = Holds.MONEY, Holds.INSTANT, Holds.LENGTH

INTERVALS: tuple[FrameColumn[IntervalRow], ...] = (
    TEXT("key", lambda r: r.uuid, "names the interval for good"),
    TEXT("batch", lambda r: r.batch, "the batch; empty for shop work"),
    TEXT("pattern", lambda r: r.pattern, "the batch's pattern"),
    TEXT("stage", lambda r: r.stage, "the stage, by its name of today"),
    TEXT("step", lambda r: r.step, "the step of the batch's route; empty for shop work"),
    TEXT("method", lambda r: r.method, "the way it was done, where the stage has several"),
    TEXT("maker", lambda r: r.maker, "whose hands"),
    TEXT("kind", lambda r: r.kind.value, "hands-on, watch, wait or away"),
    TEXT("work", lambda r: r.work.value, "run, set-up or rework"),
    TEXT("caused_at", lambda r: r.cause, "the step that made a rework necessary"),
    TEXT("pieces", lambda r: ", ".join(r.pieces), "letters of the pieces that it covered"),
    COUNT("piece_count", lambda r: len(r.pieces), "how many they are"),
    INSTANT("start", lambda r: r.start_us, "its start"),
    INSTANT("end", lambda r: r.end_us, "its end; NaT while it runs"),
    LENGTH("length", lambda r: None if r.end_us is None else r.end_us - r.start_us, "from start to end"),
    LENGTH("labour", lambda r: r.labour_us, "what it got of one pair of hands; NaT while it runs, 0 for waits"),
    TEXT("certainty", lambda r: r.certainty.value, "pressed, amended or estimated: the worse of its two ends"),
    FLAG("both_at_once", lambda r: r.together, "two ran by hand on purpose"),
    TEXT("tool", lambda r: r.tool, "the tool that it lay in"),
    TEXT("setting", lambda r: r.setting, "the tool's setting"),
    NUMBER("load", lambda r: r.load_id, "number of the load: what lay in the tool together; NaN without"),
    TEXT("old_notes", lambda r: r.notes, "the file and row of old notes that it was made of"),
)

PIECES: tuple[FrameColumn[PieceRow], ...] = (
    TEXT("batch", lambda r: r.batch, "the batch"),
    TEXT("pattern", lambda r: r.pattern, "its pattern"),
    TEXT("piece", lambda r: r.mark, "the piece's letter"),
    TEXT("number", lambda r: r.number, "the number that it was given later"),
    TEXT("outcome", lambda r: _word(r.outcome), "finished, second, cut down, kept or scrapped; empty while it lives"),
    FLAG(
        "finished", lambda r: r.outcome is not None and r.outcome.finished, "it can be sold; a second is finished too"
    ),
    FLAG("set_aside", lambda r: r.set_aside, "it lies aside"),
    TEXT("lost_at", lambda r: r.lost_at, "the step at which it was lost"),
    TEXT("reason", lambda r: r.reason, "why"),
    INSTANT("ended", lambda r: r.ended_us, "when it got its outcome"),
    TEXT("from_piece", lambda r: r.from_piece, "batch and letter of the piece that it was cut down from"),
    LENGTH("run", lambda r: r.run_us, "its shares of run"),
    LENGTH("setup", lambda r: r.setup_us, "its shares of set-up"),
    LENGTH("rework", lambda r: r.rework_us, "its shares of rework"),
)


@dataclass(frozen=True, slots=True)
class StageLine:
    """A stage in a batch, or (stage "") the whole batch."""

    batch: BatchLine
    stage: str
    figures: StageFigures


BATCHES: tuple[FrameColumn[BatchLine], ...] = (
    TEXT("key", lambda r: r.figures.batch.uuid, "names the batch for good"),
    TEXT("batch", lambda r: r.row.name, "its name"),
    TEXT("pattern", lambda r: r.row.pattern, "its pattern"),
    INSTANT("started", lambda r: r.row.started_us, "when it was started"),
    INSTANT("closed", lambda r: r.row.closed_us, "when it was closed; NaT while it is open"),
    FLAG("so_far", lambda r: r.figures.so_far, "it is open: pieces in work count as finished"),
    FLAG("at_least", lambda r: r.figures.at_least, "steps were not timed: its sums are at least that"),
    COUNT("begun", lambda r: r.figures.started, "pieces begun"),
    COUNT("finished", lambda r: r.figures.finished, "pieces finished, seconds among them"),
    COUNT("seconds", lambda r: r.figures.seconds, "finished, but not first grade"),
    COUNT("lost", lambda r: r.row.scrapped, "pieces scrapped"),
    COUNT("kept", lambda r: r.row.kept, "pieces kept as template or test piece"),
    COUNT("cut_down", lambda r: r.row.cut_down, "pieces that went on in another batch"),
    LENGTH("spent", lambda r: r.figures.whole.all_us, "labour on all its pieces"),
    LENGTH("own", lambda r: r.own.all_us, "the part of it that went into the finished pieces themselves"),
    LENGTH("carried", lambda r: sum(r.figures.whole.carried.values()), "the part that went into the others"),
    NUMBER("per_finished_min", lambda r: r.figures.whole.per_finished_min, "spent over finished; NaN where none is"),
    TEXT("next_time", lambda r: r.row.next_time, "what was noted for the next batch"),
)

STAGES: tuple[FrameColumn[StageLine], ...] = (
    TEXT("batch", lambda r: r.batch.row.name, "the batch"),
    TEXT("pattern", lambda r: r.batch.row.pattern, "its pattern"),
    INSTANT("started", lambda r: r.batch.row.started_us, "when the batch was started"),
    FLAG("so_far", lambda r: r.batch.figures.so_far, "the batch is open: pieces in work count as finished"),
    FLAG("at_least", lambda r: r.batch.figures.at_least, "steps of the batch were not timed"),
    TEXT("stage", lambda r: r.stage, "the stage, in the order of the route"),
    COUNT("passed", lambda r: r.figures.passed, "pieces that passed the stage"),
    NUMBER("passed_run_min", lambda r: r.figures.per_piece_min, "minutes per piece: mean run of the passed"),
    NUMBER("passed_setup_min", lambda r: r.figures.setup_per_piece_min, "the same of their set-up"),
    NUMBER("passed_rework_min", lambda r: r.figures.rework_per_piece_min, "the same of their rework"),
    LENGTH("spent", lambda r: r.figures.all_us, "labour at the stage, on all pieces"),
    LENGTH("own", lambda r: r.figures.of_finished.all_us, "the part of the finished pieces"),
    LENGTH("carried_lost", lambda r: r.figures.carried[Outcome.SCRAPPED], "the part of the lost ones"),
    LENGTH("carried_kept", lambda r: r.figures.carried[Outcome.KEPT], "the part of the kept ones"),
    LENGTH("carried_cut_down", lambda r: r.figures.carried[Outcome.CUT_DOWN], "the part of those cut down"),
    NUMBER("per_finished_min", lambda r: r.figures.per_finished_min, "spent over the batch's finished pieces"),
)

READINGS: tuple[FrameColumn[ReadingRow], ...] = (
    TEXT("batch", lambda r: r.batch, "the batch"),
    TEXT("pattern", lambda r: r.pattern, "its pattern"),
    TEXT("piece", lambda r: r.mark, "the piece's letter; empty for a reading of all in the step"),
    TEXT("number", lambda r: r.number, "the number that it was given later"),
    TEXT("stage", lambda r: r.stage, "the stage"),
    TEXT("step", lambda r: r.step, "the step"),
    TEXT("reading", lambda r: r.name, "what was measured"),
    NUMBER("measured", lambda r: float(r.measured.value), "the value, as a decimal"),
    TEXT("unit", lambda r: r.measured.unit, "its unit"),
    TEXT("target", lambda r: _told(r.target), "what it should have been when measured, with its unit"),
    TEXT("low", lambda r: _told(r.low), "the lower limit of today, with its unit"),
    TEXT("high", lambda r: _told(r.high), "the upper limit of today, with its unit"),
    TEXT("outside", lambda r: r.outside, "how it lies outside of them; empty inside"),
    INSTANT("at", lambda r: r.at_us, "when it was taken"),
)


@dataclass(frozen=True, slots=True)
class OrderLine:
    """An order, its pattern by name, and the pieces that are tied to it."""

    order: CustomerOrder
    pattern: str
    pieces: tuple[str, ...]


ORDERS: tuple[FrameColumn[OrderLine], ...] = (
    TEXT("key", lambda r: r.order.uuid, "names the order for good"),
    TEXT("who", lambda r: r.order.who, "who it is for"),
    TEXT("pattern", lambda r: r.pattern, "which pattern"),
    COUNT("wanted", lambda r: r.order.wanted, "how many"),
    TEXT("promised", lambda r: r.order.promised or "", "the day promised, as 2026-12-12; empty without"),
    MONEY("price", lambda r: _money(r.order.price), "the price of each, a Decimal; None without"),
    MONEY("deposit", lambda r: _money(r.order.deposit), "paid ahead for all of it, a Decimal; None without"),
    TEXT("currency", lambda r: r.order.currency, "of price and deposit, by ISO 4217"),
    TEXT("state", lambda r: r.order.state.value, "open, done or cancelled"),
    TEXT("pieces", lambda r: ", ".join(r.pieces), "batch and letter of each piece that goes to it"),
)

FRAMES: dict[str, tuple[FrameColumn[Any], ...]] = {
    "intervals": INTERVALS,
    "pieces": PIECES,
    "batches": BATCHES,
    "stages": STAGES,
    "readings": READINGS,
    "orders": ORDERS,
}
"""Columns of every frame, by the method that returns it: the manual's page is made of them."""


class ShopFrames:
    """A record opened for reading, as data frames; `zone` is the shop's time zone, for `tz_convert`.

    A window may have it open meanwhile: each call reads what is on the disk by then, but for what was open or ordered
    when it was opened. Running work counts until the newest press of that time.
    """

    def __init__(self, path: str | os.PathLike[str]) -> None:
        self._record = ReadOnlyRecord.open(Path(path))
        self.zone: ZoneInfo = zone_of(self._record.floor)

    def intervals(self) -> pd.DataFrame:
        """One row an interval, by start."""
        return _frame(INTERVALS, self._record.reads.intervals())

    def pieces(self) -> pd.DataFrame:
        """One row a piece, batch by batch, with its shares of ended work."""
        return _frame(PIECES, self._record.reads.pieces())

    def batches(self) -> pd.DataFrame:
        """One row a batch, oldest first."""
        return _frame(BATCHES, self._lines())

    def stages(self) -> pd.DataFrame:
        """One row a stage in a batch: the figures that Review and Trends show."""
        lines = (StageLine(line, name, found) for line in self._lines() for name, found in line.stages)
        return _frame(STAGES, lines)

    def readings(self) -> pd.DataFrame:
        """One row a reading, in the order they were taken."""
        return _frame(READINGS, self._record.reads.readings())

    def orders(self) -> pd.DataFrame:
        """One row an order, in the order they were taken."""
        floor = self._record.load_since(0)
        lines = (
            OrderLine(
                order,
                floor.get(Pattern, order.pattern_id).name,
                tuple(f"{floor.get(Batch, piece.batch_id).name} {piece.mark}" for piece in pieces_of(floor, order)),
            )
            for order in floor.all(CustomerOrder)
        )
        return _frame(ORDERS, lines)

    def trend(self, stage: str) -> tuple[Trend, ...]:
        """Trend of a stage, whether it gets quicker, by each of its methods; the one worked last first.

        `stage` is its name, or the beginning of a word of it. ShopError says where there is none.
        """
        return trends(self._record, stage)

    def forecast(self, pattern: str, wanted: int, methods: Mapping[str, str] | None = None) -> Forecast:
        """Forecast of so many finished ones of a pattern: blanks to start, hours in all and stage by stage.

        `methods` says by which method a stage is worked (stage: method); without, as it was last. ShopError says
        which name is unknown.
        """
        return forecast(self._record, pattern, wanted, methods or {})

    def _lines(self) -> Iterable[BatchLine]:
        options = ExportOptions(now_us=self._record.newest_us)
        return (line for line, _ in batch_lines(self._record, options))

    def close(self) -> None:
        """Let go of the record."""
        self._record.__exit__()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def _frame(columns: tuple[FrameColumn[R], ...], rows: Iterable[R]) -> pd.DataFrame:
    """Frame of rows that may be none: each column is of its kind all the same."""
    import pandas as pd

    values = [tuple(column.of(row) for column in columns) for row in rows]
    by_column = list(zip(*values, strict=True)) or [()] * len(columns)
    return pd.DataFrame(
        {column.name: _series(column.holds, data) for column, data in zip(columns, by_column, strict=True)}
    )


def _series(holds: Holds, data: tuple[Any, ...]) -> pd.Series[Any]:
    import pandas as pd

    if holds in (Holds.INSTANT, Holds.LENGTH):  # as whole microseconds: through floats an instant would lose some
        return pd.Series(pd.array(data, dtype="Int64")).astype(holds.value)
    return cast("pd.Series[Any]", pd.Series(data, dtype=holds.value))


def _word(outcome: Outcome | None) -> str:
    return outcome.value if outcome is not None else ""


def _told(measure: Measure | None) -> str:
    return "" if measure is None else str(measure)


def _money(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)
