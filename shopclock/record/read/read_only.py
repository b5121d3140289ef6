"""Reading an open or closed record beside its window: nothing here ever writes to it.

What figures, sheets and history alone read is imported when it is first read: a start needs none of it.
"""

from __future__ import annotations

from itertools import islice
from typing import TYPE_CHECKING, Concatenate, ParamSpec, Self, TypeVar

from shopclock.record.file.benches import this_one
from shopclock.record.file.boots import newest_us
from shopclock.record.file.closed import kept_rows
from shopclock.record.file.engine import reader
from shopclock.record.file.error_text import error_text
from shopclock.record.file.numbers import NumbersApart
from shopclock.record.file.opening import open_reader
from shopclock.record.read import load
from shopclock.shop.figures.trend_rows import WHOLE, TrendRow, Usual, of_maker, trend_rows, usual
from shopclock.shop.state.desk_copy import at_desk
from shopclock.shop.state.shop_floor import Memo, ShopFloor
from shopclock.shop.values.entities import Bench
from shopclock.shop.values.ranges import own_range
from shopclock.shop.work.makers import several

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from pathlib import Path

    import sqlalchemy as sa

    from shopclock.record.read.history import HistoryRow, OfBatch, OfTime
    from shopclock.record.read.rows import BatchRow, IntervalRow, PieceRow, ReadingRow
    from shopclock.shop.figures.sessions import WorkedSpan
    from shopclock.shop.values.measure import Measure

_USUAL: Memo[tuple[int, int | None, int | None, int | None], Usual | None] = Memo()
_LIVE_ROWS: Memo[int, tuple[TrendRow, ...]] = Memo()
T = TypeVar("T")
P = ParamSpec("P")
BATCHES_AT_ONCE = 32
"""Closed batches of which the figures are read at a time: as quick as more, and few enough to hold."""
_ROWS_IN_SHEETS = """SELECT (SELECT count(*) FROM interval) + (SELECT count(*) FROM batch)
    + (SELECT count(*) FROM piece) + (SELECT count(*) FROM reading)"""


class Reads:
    """Reads of figures, charts and sheets from a record, each time as it stands on the disk."""

    def __init__(self, path: Path, floor: Callable[[], ShopFloor], before: Callable[[], object] = lambda: None) -> None:
        self._path = path
        self._floor = floor
        self._engine = reader(path, before)
        self._closed: dict[int | None, tuple[TrendRow, ...]] = {}

    def stage_rows(self, now_us: int, maker_id: int | None = None) -> tuple[TrendRow, ...]:
        """Return the rows of batch × stage × method, of all makers together or of one; open ones until now."""
        return self._of_maker((*self._closed_rows(None), *self._live_rows(now_us)), maker_id)

    def _of_maker(self, rows: tuple[TrendRow, ...], maker_id: int | None) -> tuple[TrendRow, ...]:
        """Return the rows of one maker or of all together; as they are where there was only ever one."""
        return of_maker(rows, maker_id) if several(self._floor()) else rows

    def whole_rows(self, now_us: int, maker_id: int | None = None) -> tuple[TrendRow, ...]:
        """Return the rows of whole batches, all stages together, or of those that one maker made alone."""
        from shopclock.shop.figures.trend_rows import whole_row

        floor = self._floor()
        live = (whole_row(floor, batch.id, now_us) for batch in floor.open_batches())
        return self._of_maker((*self._closed_rows(WHOLE), *(row for row in live if row is not None)), maker_id)

    def usual(
        self, stage_id: int, method_id: int | None, pattern_id: int | None, now_us: int, maker_id: int | None = None
    ) -> Usual | None:
        """Return what is usual at a stage; worked out once until the next press, so ask at each repaint.

        Of one maker alone where one is given who has worked there, else of all.
        """
        found, live = self._floor().memo(_USUAL), self._floor().memo(_LIVE_ROWS)
        about = (stage_id, method_id, pattern_id)
        if (*about, maker_id) not in found:
            if stage_id not in live:
                live[stage_id] = self._live_rows(now_us, stage_id)
            rows = (*self._closed_rows(stage_id), *live[stage_id])
            own = usual(self._of_maker(rows, maker_id), *about) if maker_id is not None else None
            found[*about, maker_id] = own or usual(self._of_maker(rows, None), *about)
        return found[*about, maker_id]

    def forget(self) -> None:
        """The rows of a closed batch have changed: read them again when next asked."""
        self._closed.clear()

    def intervals(self) -> Iterator[IntervalRow]:
        """Yield every interval by its start, streaming."""
        from shopclock.record.read import rows

        return self._stream(rows.intervals)

    def imported_rows(self) -> frozenset[str]:
        """Return what the rows of old notes that are in the record are known by."""
        with error_text(self._path), self._engine.begin() as connection:
            return frozenset(connection.exec_driver_sql("SELECT known_by FROM import_row").scalars())

    def rows_in_all(self) -> int:
        """Return how many rows the sheets of the whole shop are made of, near enough to say how far they are."""
        with error_text(self._path), self._engine.begin() as connection:
            return int(connection.exec_driver_sql(_ROWS_IN_SHEETS).scalar_one())

    def worked_between(self, since_us: int, until_us: int) -> frozenset[int | None]:
        """Return the batches with work that began from the first instant until before the second; None: shop work."""
        query = "SELECT DISTINCT batch_id FROM interval WHERE start_us >= ? AND start_us < ?"
        with error_text(self._path), self._engine.begin() as connection:
            return frozenset(connection.exec_driver_sql(query, (since_us, until_us)).scalars())

    def pieces(self) -> Iterator[PieceRow]:
        """Yield every piece with its outcome and its minutes."""
        from shopclock.record.read import rows

        return self._stream(rows.pieces)

    def batches(self) -> Iterator[BatchRow]:
        """Yield every batch with its counts and its labour."""
        from shopclock.record.read import rows

        return self._stream(rows.batches)

    def history(self, about: OfBatch | OfTime, before_press: int | None = None) -> tuple[HistoryRow, ...]:
        """Return a page of what was changed, newest first; the next page begins before the last press of this."""
        from shopclock.record.read import history

        return self._ask(history.history, about, before_press)

    def worked_before(self, at_us: int) -> int | None:
        """Return the start of the last stretch of work that began before an instant, or nothing."""
        from shopclock.record.read import history

        return self._ask(history.worked_before, at_us)

    def worked_after(self, at_us: int) -> int | None:
        """Return the start of the first stretch of work that began at an instant or later, or nothing."""
        from shopclock.record.read import history

        return self._ask(history.worked_after, at_us)

    def worked(self, since_us: int) -> tuple[WorkedSpan, ...]:
        """Return the ended stretches of work by a person that began at an instant or later."""
        from shopclock.record.read import rows

        return self._ask(rows.worked, since_us)

    def readings(self) -> Iterator[ReadingRow]:
        """Yield every reading in the order they were taken."""
        from shopclock.record.read import rows

        return self._stream(rows.readings)

    def last_measured(self, kind_id: int, batch_id: int) -> Measure | None:
        """Return the newest value of a kind from another batch than this one, or nothing."""
        from shopclock.record.read import rows

        return self._ask(rows.last_measured, kind_id, batch_id)

    def _live_rows(self, now_us: int, only_stage: int | None = None) -> tuple[TrendRow, ...]:
        floor = self._floor()
        return tuple(row for batch in floor.open_batches() for row in trend_rows(floor, batch.id, now_us, only_stage))

    def _closed_rows(self, stage_id: int | None) -> tuple[TrendRow, ...]:
        """The rows of closed batches, of one stage or of all: the Bench needs few and is there sooner."""
        if stage_id not in self._closed:
            self._closed[stage_id] = self._ask(kept_rows, stage_id)
        return self._closed[stage_id]

    def _ask(self, query: Callable[Concatenate[sa.Connection, P], T], *about: P.args, **named: P.kwargs) -> T:
        with error_text(self._path), self._engine.begin() as connection:
            return query(connection, *about, **named)

    def _stream(self, rows: Callable[[sa.Connection], Iterator[T]]) -> Iterator[T]:
        with error_text(self._path), self._engine.begin() as connection:
            yield from rows(connection)


class ReadOnlyRecord:
    """A record opened for reading only, also while a window has it open.

    `floor` is as it was when opened, with the open batches; `bring_batch` adds a closed one, `bring_since` what
    ended after an instant. `numbers_apart` are for what is worked out beside the record.
    """

    def __init__(self, engine: sa.Engine, path: Path) -> None:
        self.path = path
        self._engine = engine
        with error_text(path), engine.begin() as connection:
            self.newest_us: int = newest_us(connection)
            self.floor = load.load_floor(connection, self.newest_us)
            bench = this_one(list(self.floor.all(Bench)), path, at_desk(self.floor))
            self.floor.range = own_range(bench.id) if bench is not None else 0
            self.numbers_apart = NumbersApart(connection, self.floor.range)
        self.reads = Reads(path, lambda: self.floor)

    @classmethod
    def open(cls, path: Path) -> Self:
        """Open the record at a path; ShopError says why it can't be."""
        return cls(open_reader(path), path)

    def load_batch(self, batch_id: int) -> ShopFloor:
        """Have a closed batch whole on the floor too, and return the floor."""
        with error_text(self.path), self._engine.begin() as connection:
            load.load_batches(connection, self.floor, [batch_id])
        return self.floor

    def load_since(self, since_us: int) -> ShopFloor:
        """Have on the floor what ended after an instant, with all that it rests on; return the floor."""
        if since_us < self.floor.horizon_us:
            with error_text(self.path), self._engine.begin() as connection:
                load.load_all_since(connection, self.floor, since_us)
        return self.floor

    def batch_floor(self, batch_id: int) -> ShopFloor:
        """Return a floor with this batch whole, for its figures; a closed one doesn't stay in memory."""
        if self.floor.steps(batch_id):
            return self.floor
        with error_text(self.path), self._engine.begin() as connection:
            return load.load_alone(connection, self.floor, batch_id)

    def figure_floors(self, batches: Iterable[int]) -> Iterator[tuple[int, ShopFloor]]:
        """Yield batches in their order, each with a floor that has all its figures need; few stay in memory."""
        from shopclock.record.read.summed import load_summed

        left = iter(batches)
        while some := list(islice(left, BATCHES_AT_ONCE)):
            closed = [number for number in some if not self.floor.steps(number)]
            with error_text(self.path), self._engine.begin() as connection:
                summed = load_summed(connection, self.floor, closed)
            yield from ((number, summed if number in closed else self.floor) for number in some)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._engine.dispose()
