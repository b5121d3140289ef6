"""What the shop has done so far, as a forecast reads it: rows of stages, batches with their ends and labour."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.frame import NOTHING, Series

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shopclock.record.read.read_only import Reads
    from shopclock.shop.figures.trend_rows import TrendRow


@dataclass(frozen=True, slots=True)
class Done:
    """A closed batch: what was begun, what became finished pieces, and its labour."""

    batch_id: int
    pieces: int
    finished: int
    labour_us: int
    started_us: int
    closed_us: int


@dataclass(frozen=True, slots=True)
class History:
    """Rows of all stages, and the closed batches by their close."""

    rows: tuple[TrendRow, ...]
    batches: tuple[Done, ...]
    made_before: Mapping[Series, int]

    def before(self, at_us: int) -> History:
        """Return what was known at an instant: the batches closed by then, with their rows."""
        batches = tuple(done for done in self.batches if done.closed_us <= at_us)
        known = {done.batch_id for done in batches}
        return History(tuple(row for row in self.rows if row.batch_id in known), batches, self.made_before)


def history_of(reads: Reads, now_us: int, made_before: Mapping[Series, int] = NOTHING) -> History:
    """Read what the shop has done; open batches lend the rows of stages that they are through."""
    closed = (b for b in reads.batches() if b.closed_us is not None)
    batches = [
        Done(b.id, b.pieces, b.finished, b.labour_us, b.started_us, b.closed_us or 0) for b in closed if b.pieces
    ]
    return History(
        tuple(reads.stage_rows(now_us)), tuple(sorted(batches, key=lambda d: (d.closed_us, d.batch_id))), made_before
    )
