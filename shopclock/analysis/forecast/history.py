"""Past batches as a forecast reads them, and the pieces that were lost in them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from shopclock.analysis.learning.route_minutes import routes_of
from shopclock.shop.figures.made_before import made_before

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.learning.frame import Series
    from shopclock.analysis.learning.route_minutes import RouteMinutes
    from shopclock.record.read.read_only import Reads
    from shopclock.shop.figures.trend_rows import TrendRow
    from shopclock.shop.state.shop_floor import ShopFloor

    Floats = npt.NDArray[np.float64]
    Ints = npt.NDArray[np.int64]


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
    """Rows of all stages, the closed batches by their close, pieces made before timing began, what the routes tell."""

    rows: tuple[TrendRow, ...]
    batches: tuple[Done, ...]
    made_before: Mapping[Series, int]
    routes: Mapping[tuple[int, int], RouteMinutes] = field(default_factory=dict)

    def before(self, at_us: int) -> History:
        """Return what was known at an instant: the batches closed by then, with their rows."""
        batches = tuple(done for done in self.batches if done.closed_us <= at_us)
        known = {done.batch_id for done in batches}
        rows = tuple(row for row in self.rows if row.batch_id in known)
        return replace(self, rows=rows, batches=batches)


def history_of(floor: ShopFloor, reads: Reads, now_us: int) -> History:
    """Read what the shop has done; open batches lend the rows of stages that they are through."""
    closed = (b for b in reads.batches() if b.closed_us is not None)
    batches = [
        Done(b.id, b.pieces, b.finished, b.labour_us, b.started_us, b.closed_us or 0) for b in closed if b.pieces
    ]
    by_close = tuple(sorted(batches, key=lambda d: (d.closed_us, d.batch_id)))
    return History(tuple(reads.stage_rows(now_us)), by_close, made_before(floor), routes_of(floor))


ENOUGH = 10
"""Losses come together (a bad quench takes half a batch), which so many batches show."""
LOST_BEFORE, KEPT_BEFORE = 1, 9
MOST_BLANKS = 60


def loss_shares(batches: Sequence[Done], draws: int, dice: np.random.Generator) -> Floats:
    """Draw the share of a batch that doesn't get finished, 0 to 1 (draws).

    From ten batches up the share of a whole past batch; below, Beta(1 + lost, 9 + finished): before anything was seen,
    one of ten.
    """
    import numpy as np

    lost = np.array([done.pieces - done.finished for done in batches], float)
    pieces = np.array([done.pieces for done in batches], float)
    if len(batches) >= ENOUGH:
        return dice.choice(lost / pieces, draws)
    return dice.beta(LOST_BEFORE + lost.sum(), KEPT_BEFORE + (pieces - lost).sum(), draws)


def lost_of(n: int, shares: Floats, lots: Floats, *, whole: bool) -> Ints:
    """Return how many of n are lost (draws); `shares` and `lots` (draws), `lots` uniform numbers from 0 to 1.

    `whole`: the share of a past batch as it was, rounded up or down by lot; otherwise each piece is lost by itself.
    """
    import numpy as np

    if whole:
        return np.floor(n * shares + lots).astype(np.int64)
    from scipy.special import bdtr

    counts = np.arange(n)[:, None]
    below: Ints = (lots[None, :] > bdtr(counts, n, shares[None, :])).sum(axis=0)
    return below


def blanks_for(wanted: int | Ints, batches: Sequence[Done], draws: int, seed: int, share: float = 0.8) -> int | None:
    """Return how many to start so that `wanted` (of each draw) are finished in that share of draws.

    Nothing where sixty don't do.
    """
    import numpy as np

    dice = np.random.default_rng(seed)
    shares, lots = loss_shares(batches, draws, dice), dice.random(draws)
    whole = len(batches) >= ENOUGH
    for n in range(int(np.min(wanted)), MOST_BLANKS + 1):
        if float(np.mean(n - lost_of(n, shares, lots, whole=whole) >= wanted)) >= share:
            return n
    return None
