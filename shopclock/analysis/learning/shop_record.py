"""The rows of all stages as one model reads them, and what it is fitted from."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from statistics import median
from typing import TYPE_CHECKING, Any

from shopclock.analysis.learning.frame import NOTHING, row_columns
from shopclock.analysis.learning.route_minutes import log_per_piece
from shopclock.analysis.model.midpoints import LotSums
from shopclock.analysis.model.series import Series
from shopclock.analysis.model.shop_model import ShopFit, ShopRows, fit_shop
from shopclock.analysis.model.verdict import Pool, pooled

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.learning import frame
    from shopclock.analysis.learning.route_minutes import RouteMinutes
    from shopclock.shop.figures.trend_rows import TrendRow

    Column = npt.NDArray[Any]
    Floats = npt.NDArray[np.float64]

MOST_BATCHES = 400
"""So many batches back the model looks; what they tell is no surer by more."""
NO_MINUTES = math.log(15.0)
"""Where neither a route nor a row tells any minutes."""


@dataclass(frozen=True)  # without slots: what was worked out once is kept beside the fields
class ShopRecord:
    """Rows that count (n), in the order of batches; `columns` are those of the frame.

    `minutes`: run minutes a piece, with set-up where some batches of the stage pressed it and others have it inside run
    (`with_setup`). `batches` by first start. `made`: pieces so far, by stage and method; `lots`: first and last piece
    of each batch there, whether the row counts or not, by batch, stage and method.
    """

    columns: Mapping[str, Column]
    minutes: Floats
    with_setup: frozenset[int]
    batches: tuple[int, ...]
    started_us: tuple[int, ...]
    made: Mapping[tuple[int, int], int]
    lots: Mapping[tuple[int, int, int], tuple[int, int]]
    routes: Mapping[tuple[int, int], RouteMinutes]

    @cached_property
    def place(self) -> dict[int, int]:
        """Place of each batch among those of the shop."""
        return {batch: i for i, batch in enumerate(self.batches)}

    @cached_property
    def usual_apart_us(self) -> float:
        """The median time from one batch's start to the next one's, in microseconds; a month under three."""
        apart = [b - a for a, b in pairwise(self.started_us) if b > a]
        return median(apart) if len(apart) > 1 else 30 * 86_400e6

    @cached_property
    def unsure_log(self) -> float:
        """Ln minutes a piece that are taken for a stage of which no route tells any: the middle of all rows."""
        import numpy as np

        return float(np.median(np.log(self.minutes))) if self.minutes.size else NO_MINUTES

    @cached_property
    def without_route(self) -> frozenset[int]:
        """Stages with rows of which no route tells any minutes."""
        told = {stage for (stage, _), minutes in self.routes.items() if minutes.per_piece(1) > 0}
        return frozenset(set(self.columns["stage_id"].tolist()) - told)

    def offset(self, stage: int, pattern: int, pieces: int) -> float:
        """Return ln minutes a piece as the route has it, or what is taken for it."""
        if stage in self.without_route:
            return self.unsure_log
        found = log_per_piece(self.routes, stage, pattern, pieces)
        return self.unsure_log if found is None else found

    def apart(self, since_us: int, until_us: int) -> float:
        """Return a time in usual ones between batches, held within a quarter and fifty."""
        return min(50.0, max(0.25, (until_us - since_us) / self.usual_apart_us))

    def _aparts(self, starts: Sequence[int]) -> Floats:
        import numpy as np

        return np.array([1.0, *(self.apart(a, b) for a, b in pairwise(starts))][: len(starts)], float)

    @cached_property
    def rows(self) -> ShopRows:
        """The rows as the model takes them: those of the last 400 batches."""
        import numpy as np

        columns = self.columns
        place = np.array([self.place[batch] for batch in columns["batch_id"].tolist()], np.int64)
        first = max(0, len(self.batches) - MOST_BATCHES)
        own = place >= first
        keys = zip(*(columns[name][own].tolist() for name in ("stage_id", "pattern_id", "pieces")), strict=True)
        known: dict[tuple[int, int, int], float] = {}
        offset = [known.setdefault(key, self.offset(*key)) if key not in known else known[key] for key in keys]
        apart = self._aparts(self.started_us[first:])
        return ShopRows(
            stage=columns["stage_id"][own],
            pattern=columns["pattern_id"][own],
            method=columns["method_id"][own],
            batch=place[own] - first,
            first=columns["first_piece"][own],
            last=columns["last_piece"][own],
            log_min=np.log(self.minutes[own]),
            offset=np.array(offset, float),
            apart=apart,
            without_route=self.without_route,
        )

    @cached_property
    def fit(self) -> ShopFit:
        """The model of the shop as it stands."""
        return fit_shop(self.rows)

    def fit_to(self, batches: Collection[int]) -> tuple[ShopFit, dict[int, int]]:
        """Return the model as it would have been with these batches alone, scales held, and the place of each."""
        import numpy as np

        first = max(0, len(self.batches) - MOST_BATCHES)
        kept = [i for i, batch in enumerate(self.batches[first:]) if batch in batches]
        new = np.full(len(self.batches) - first, -1)
        new[kept] = np.arange(len(kept))
        apart = self._aparts([self.started_us[first + i] for i in kept])
        rows = self.rows.chosen(new[self.rows.batch] >= 0, new, apart)
        return fit_shop(rows, self.fit), {self.batches[first + i]: n for n, i in enumerate(kept)}

    @cached_property
    def series(self) -> dict[tuple[int, int], BatchSeries]:
        """The rows of each stage and method in the order in which they were begun there."""
        import numpy as np

        columns = self.columns
        keys = np.stack([columns["stage_id"], columns["method_id"]], axis=1)
        kinds, code = np.unique(keys, axis=0, return_inverse=True)
        return {
            (int(stage), int(method)): self._series(np.flatnonzero(code.ravel() == i))
            for i, (stage, method) in enumerate(kinds.tolist())
        }

    def _series(self, own: Column) -> BatchSeries:
        """Return rows as one series, each lot at its midpoint by the slope of these rows themselves."""
        import numpy as np

        columns = self.columns
        own = own[np.argsort(columns["first_piece"][own], kind="stable")]
        batches = columns["batch_id"][own]
        place = np.array([self.place[batch] for batch in batches.tolist()], np.int64)
        # Batches overlap: one may overtake another at a stage. Neighbours there are one apart at least.
        steps = np.arange(own.size)
        place = np.maximum.accumulate(place - steps) + steps
        lots = LotSums(columns["first_piece"][own], columns["last_piece"][own])
        series = Series(place, columns["pattern_id"][own], lots.log_midpoints(0.0), np.log(self.minutes[own]))
        return BatchSeries(replace(series, x=lots.log_midpoints(_settled(series, lots))), tuple(batches.tolist()))

    @cached_property
    def pool(self) -> Pool:
        """Common to the stages: likeness of neighbouring batches and spread."""
        return pooled(one.series for one in self.series.values())

    def place_of(self, batch_id: int | None) -> int | None:
        """Return the place of a batch in the model; nothing for one without rows."""
        found = self.place.get(batch_id) if batch_id is not None else None
        first = max(0, len(self.batches) - MOST_BATCHES)
        return found - first if found is not None and found >= first else None


@dataclass(frozen=True, slots=True)
class BatchSeries:
    """A series, and the number of the batch of each of its rows."""

    series: Series
    batches: tuple[int, ...]


STEEPEST = 2.0
"""No practice leaves less than a quarter at each doubling; such a slope comes of wild minutes."""


def _settled(series: Series, lots: LotSums) -> float:
    """Return the slope within patterns at which lots lie at their own midpoints."""
    import numpy as np

    codes = np.unique(series.pattern, return_inverse=True)[1]
    n = np.bincount(codes)
    y = series.y - (np.bincount(codes, series.y) / n)[codes]
    b = 0.0
    for _ in range(20):
        x = lots.log_midpoints(b)
        x = x - (np.bincount(codes, x) / n)[codes]
        square = float(x @ x)
        new = min(STEEPEST, max(-STEEPEST, float(x @ y) / square)) if square > 1e-12 else 0.0
        if abs(new - b) < 1e-9:
            break
        b = new
    return b


def shop_record(
    rows: Iterable[TrendRow],
    made_before: Mapping[frame.Series, int] = NOTHING,
    routes: Mapping[tuple[int, int], RouteMinutes] | None = None,
) -> ShopRecord:
    """Gather the rows of all stages (or those of whole batches alone)."""
    import numpy as np

    every = row_columns(rows, made_before)
    counted = (every["left_out"] == "") & (every["minutes"] > 0)
    columns = {name: column[counted] for name, column in every.items()}
    pressed = columns["setup_us"] > 0
    stages = columns["stage_id"]
    mixed = frozenset(set(stages[pressed].tolist()) & set(stages[~pressed].tolist()))
    setup = np.where(np.isin(stages, list(mixed)), columns["setup_us"] / np.maximum(columns["pieces"], 1) / 60e6, 0.0)
    named = ~every["mixed"]
    keys = list(zip(*(every[k][named].tolist() for k in ("batch_id", "stage_id", "method_id")), strict=True))
    ends = list(zip(*(every[k][named].tolist() for k in ("first_piece", "last_piece")), strict=True))
    made: dict[tuple[int, int], int] = {(s, m): n for (s, m, is_mixed), n in made_before.items() if not is_mixed}
    for (_, stage, method), (_, last) in zip(keys, ends, strict=True):
        made[stage, method] = max(last, made.get((stage, method), 0))
    starts = _starts(columns["batch_id"], columns["first_us"])
    return ShopRecord(
        columns=columns,
        minutes=columns["minutes"] + setup,
        with_setup=mixed,
        batches=tuple(starts),
        started_us=tuple(starts.values()),
        made=made,
        lots=dict(zip(keys, ends, strict=True)),
        routes=routes or {},
    )


def _starts(batch: Column, first_us: Column) -> dict[int, int]:
    """Return when each batch began, in that order."""
    import numpy as np

    order = np.lexsort([batch, first_us])
    found: dict[int, int] = {}
    for one, at_us in zip(batch[order].tolist(), first_us[order].tolist(), strict=True):
        found.setdefault(one, at_us)
    return found
