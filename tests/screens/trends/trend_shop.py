"""A shop with batches at one stage, and rows for them that are made by hand. All of it invented."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from shopclock.record.press.record import Record
from shopclock.shop.setup import patterns
from shopclock.shop.values.clock import Moment
from shopclock.shop.values.entities import Batch, Method, Pattern, Stage
from shopclock.shop.work import batches
from tests.analysis.rows import row
from tests.shop.starters import starters

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from shopclock.shop.figures.trend_rows import TrendRow
    from shopclock.shop.state.transaction import Transaction

WEEK_US = 7 * 86_400_000_000
START_US = int(datetime(2025, 1, 9, 19, tzinfo=UTC).timestamp()) * 1_000_000

JIG = (17.7, 20.6, 17.4, None, None, 19.7, None, 18.6, None, 18.2, None, 18.3)
FREEHAND = (29.0, 24.1, 24.4, 21.0, 16.7, None, 17.8, 16.6, 16.9, 14.6, 16.2, 15.7, 16.9, 15.1, 15.0)


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.t = START_US

    def moment(self) -> Moment:
        return Moment(self.t, self.t - START_US, 0, "boot", 60)


class TrendShop:
    """Batches a week apart, each of two patterns in turn, and the stage `bevels` with two methods."""

    def __init__(self, folder: Path, n: int) -> None:
        self.clock = Clock()
        self.record = Record.open(folder / "trends.shopclock", self.clock, make=True, zone="Europe/Vienna")
        route = starters()[0]
        made = [self._press(lambda t, name=name: patterns.copy_route(t, route, name)) for name in ("Oyster", "Paring")]
        self.bevels = max(self.record.floor.all(Stage), key=lambda s: "bevel" in s.name.lower())
        for method in list(self.record.floor.all(Method)):
            if method.stage_id == self.bevels.id:
                self._press(lambda t, method=method: t.drop(method))
        self.jig = self._press(lambda t: patterns.add_method(t, self.bevels, "jig"))
        self.freehand = self._press(lambda t: patterns.add_method(t, self.bevels, "freehand"))
        self.slow = self._press(lambda t: patterns.add_method(t, self.bevels, "slow belt with the long platen"))
        self.batches = [self._batch(made[i % 2]) for i in range(n)]

    def _press(self, rule: object) -> object:
        return self.record.press("Make", rule)[0]

    def _batch(self, pattern: Pattern) -> Batch:
        self.clock.t += WEEK_US

        def rule(tx: Transaction) -> Batch:
            return batches.start_batch(tx, pattern, 6, batches.batch_name(tx.floor, tx.now_us))

        return self._press(rule)

    def row(self, number: int, minutes: float, method: int | None, **other: object) -> TrendRow:
        """The row of a batch, counted from 0, at the bevels."""
        batch = self.batches[number]
        first = batch.started_us
        plain = {
            "pattern_id": batch.pattern_id,
            "stage_id": self.bevels.id,
            "first_us": first,
            "middle_us": first + 3_600_000_000,
        }
        return row(batch.id, minutes, 6, method=method, **(plain | other))

    def rows(self, minutes: Sequence[float | None], method: int | None, **other: object) -> list[TrendRow]:
        """Rows of the batches one after the other; none where there are no minutes."""
        return [self.row(i, m, method, **other) for i, m in enumerate(minutes) if m is not None]

    def two_methods(self) -> list[TrendRow]:
        """Jig beside freehand, with two batches left out."""
        rows = [*self.rows(JIG, self.jig.id), *self.rows(FREEHAND, self.freehand.id)]
        guessed = self.row(5, 22.0, self.freehand.id, estimated_us=100 * 60_000_000)
        return [*rows, guessed, self.row(15, 13.0, self.freehand.id, complete=False)]

    def crowd(self) -> list[TrendRow]:
        """Every batch by one of three methods or by several, close together; one with a long name."""
        names = [self.jig.id, self.freehand.id, self.slow.id]
        rows = [self.row(i, 16 + (i * 5 % 7) * 0.3, names[i % 3]) for i in range(len(self.batches))]
        mixed = [self.row(i, 17.0, None, mixed=True) for i in range(3, len(self.batches), 9)]
        return [*rows, *mixed, self.row(2, 18.0, None)]
