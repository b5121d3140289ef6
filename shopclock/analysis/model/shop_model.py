"""One model of a whole shop: all stages, patterns, methods and batches at once, and what it says of batches to come.

    ln minutes = offset + maker + stage + pattern + method + slope · (ln K − ln 10) + load · batch + e

`offset` is what the route says, ln minutes a piece. Pattern, method and slope belong to a stage; slopes lie about the
shop's own. Batches are alike from one to the next (AR(1)) and move a noisy stage more (`load`). e has Student tails.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from shopclock.analysis.model.midpoints import LotSums

if TYPE_CHECKING:
    from collections.abc import Hashable, Sequence

    import numpy as np
    import numpy.typing as npt

    Floats = npt.NDArray[np.float64]
    Ints = npt.NDArray[np.int64]

LOG_TEN = math.log(10.0)
"""Slopes turn about the tenth piece: of few pieces more is known than of the first."""
SLOPE = -0.07
"""The shop's slope before anything is known: 95 % is left when the count doubles. A start, no source."""
NU = 6.0
"""Batches that the shop's spread weighs in a stage's own."""
TAIL = 5.0
"""Degrees of freedom of what a batch is off at a stage by itself."""
MOST_WEIGHT = 1.15
NO_ROUTE = 1.5
"""Standard deviation of a stage of which the route tells no minutes: its first batch says nearly all. A start."""
SWEEPS, HELD_SWEEPS, NORMAL_SWEEPS = 12, 6, 4
"""Rounds of weights and midpoints: with scales that move, with scales held, and without tails (midpoints alone)."""


@dataclass(frozen=True, slots=True)
class Scales:
    """Standard deviations of ln minutes by part, the variances of batches, and their likeness from one to the next.

    `own`: of a batch at a stage by itself; `batch`: of a batch in all its stages. The values are starts, no source; the
    shop's own rows move them, against the weight of so many rows as `WORTH` says.
    """

    maker: float = 0.40
    stage: float = 0.40
    pattern: float = 0.20
    method: float = 0.20
    slope: float = 0.08
    shop_slope: float = 0.08
    own: float = 0.65 * 0.16**2
    batch: float = 0.35 * 0.18**2
    likeness: float = 0.30


START = Scales()
WORTH = {"stage": 6.0, "pattern": 6.0, "method": 8.0, "slope": 20.0}
BATCH_WORTH, LIKENESS_WORTH, MOST_LIKE = 6.0, 8.0, 0.8
PARTS = ("stage", "pattern", "method", "slope")


@dataclass(frozen=True, slots=True)
class ShopRows:
    """Batches at stages (n): numbers of stage, pattern and method, place of the batch (0 for the first), lot, minutes.

    `log_min`: ln minutes a piece; `offset`: the same as the route has it. `apart`: time before each batch, in usual
    ones. `without_route`: stages whose offset is but a guess.
    """

    stage: Ints
    pattern: Ints
    method: Ints
    batch: Ints
    first: Ints
    last: Ints
    log_min: Floats
    offset: Floats
    apart: Floats
    without_route: frozenset[int] = frozenset()

    def chosen(self, rows: npt.NDArray[np.bool_], places: Ints, apart: Floats) -> ShopRows:
        """Return some of the rows, with new places for their batches and the times before these."""
        columns = ("stage", "pattern", "method", "first", "last", "log_min", "offset")
        own = {name: getattr(self, name)[rows] for name in columns}
        return replace(self, **own, batch=places[self.batch[rows]], apart=apart)


class Columns:
    """Places of the parts among all that is estimated: maker, the shop's slope, the parts of stages, the batches."""

    def __init__(self, rows: ShopRows) -> None:
        import numpy as np

        stage, pattern, method = (column.tolist() for column in (rows.stage, rows.pattern, rows.method))
        self.at: dict[tuple[str, Hashable], int] = {}
        keys = (
            [("stage", s) for s in stage],
            [("pattern", key) for key in zip(stage, pattern, strict=True)],
            [("method", key) for key in zip(stage, method, strict=True)],
            [("slope", key) for key in zip(stage, method, strict=True)],
        )
        for own in keys:
            for key in dict.fromkeys(own):
                self.at[key] = 2 + len(self.at)
        self.parts = {p: np.array([i for (part, _), i in self.at.items() if part == p], np.int64) for p in PARTS}
        self.batches = 2 + len(self.at)
        self.n = self.batches + rows.apart.size
        zero = np.zeros(rows.stage.size, np.int64)
        own_places = [np.array([self.at[key] for key in own], np.int64) for own in keys]
        self.of_rows = np.stack([zero, zero + 1, *own_places, self.batches + rows.batch], axis=1)


@dataclass(frozen=True)  # without slots: what was worked out once is kept beside the fields
class ShopFit:
    """Knowledge of a shop: estimates and covariance of all parts, the spread of each stage, the scales.

    `own`: variance of a batch at a stage by itself (the scale of Student's t of TAIL degrees), by stage, `df` how sure
    it is. `weights` (rows): under 1 where a batch lies far off.
    """

    rows: ShopRows
    columns: Columns
    estimate: Floats
    covariance: Floats
    own: dict[int, float]
    df: dict[int, float]
    scales: Scales
    weights: Floats

    @property
    def batches(self) -> int:
        """Number of batches that are known; the next one has this place."""
        return self.rows.apart.size

    def load(self, stage: int) -> float:
        """Return how much of a batch's own luck a stage takes: its spread over the shop's."""
        return math.sqrt(self.own.get(stage, self.scales.own) / self.scales.own)

    @property
    def shop_slope(self) -> float:
        """Estimated mean of the slopes of the shop's stages."""
        return float(self.estimate[1])

    def slope(self, stage: int, method: int) -> float:
        """Return the estimated slope of a stage's method: the shop's, and what it differs by."""
        place = self.columns.at.get(("slope", (stage, method)))
        return float(self.estimate[1] + (self.estimate[place] if place is not None else 0.0))

    @cached_property
    def counts(self) -> dict[int, int]:
        """Number of rows of each stage."""
        import numpy as np

        stages, n = np.unique(self.rows.stage, return_counts=True)
        return dict(zip(stages.tolist(), n.tolist(), strict=True))


def fit_shop(rows: ShopRows, held: ShopFit | None = None, *, scales: Scales = START, tails: bool = True) -> ShopFit:
    """Fit the model: scales move to what the rows say, unless those of another fit of this shop are `held`.

    Without `tails` what is left is taken as normal and the scales as given: the closed form of a mixed model.
    """
    return _Fitting(rows, held, scales, learn=held is None and tails, tails=tails).run()


class _Fitting:
    """A fit under way: sums of rows over parts (never rows × parts), weights, scales; one sweep after another."""

    def __init__(self, rows: ShopRows, held: ShopFit | None, scales: Scales, *, learn: bool, tails: bool) -> None:
        import numpy as np

        self.rows, self.columns, self.learn, self.tails = rows, Columns(rows), learn, tails
        self.scales = held.scales if held is not None else scales
        self.stages, self.code = np.unique(rows.stage, return_inverse=True)
        known = held.own if held is not None else {}
        self.own = np.array([known.get(s, self.scales.own) for s in self.stages.tolist()])
        self.n = np.bincount(self.code, minlength=self.stages.size).astype(float)
        self.weights = np.ones(rows.stage.size)
        self.lots = LotSums(rows.first, rows.last) if rows.stage.size else None
        self.x = self._midpoints(np.full(rows.stage.size, SLOPE))
        self.low, self.high = np.tril_indices(7)
        places = self.columns.of_rows  # rise from part to part, so that all pairs lie in the lower half
        self.pairs = (places[:, self.low] * self.columns.n + places[:, self.high]).astype(np.int32)

    def run(self) -> ShopFit:
        sweeps = SWEEPS if self.learn else HELD_SWEEPS if self.tails else NORMAL_SWEEPS
        for _ in range(sweeps - 1):
            self._step(*self._solve(whole=self.learn))
        estimate, covariance = self._solve(whole=True)
        stages = self.stages.tolist()
        return ShopFit(
            self.rows,
            self.columns,
            estimate,
            covariance,
            dict(zip(stages, self.own.tolist(), strict=True)),
            dict(zip(stages, (NU + 0.7 * self.n).tolist(), strict=True)),
            self.scales,
            self.weights,
        )

    def _midpoints(self, b: Floats) -> Floats:
        return self.lots.log_midpoints(b) if self.lots is not None else b

    def _shares(self) -> Floats:
        """Return what each row has of its seven parts (rows × 7)."""
        import numpy as np

        one, x = np.ones(self.x.size), self.x - LOG_TEN
        return np.stack([one, x, one, one, one, x, np.sqrt(self.own / self.scales.own)[self.code]], axis=1)

    def _prior(self) -> Floats:
        """Return the precision of all parts but the batches before any row."""
        import numpy as np

        s, columns = self.scales, self.columns
        own = np.zeros(columns.batches)
        own[:2] = s.maker**-2, s.shop_slope**-2
        for part in PARTS:
            own[columns.parts[part]] = getattr(s, part) ** -2
        own[[columns.at["stage", stage] for stage in self._without_route()]] = NO_ROUTE**-2
        return own

    def _without_route(self) -> list[int]:
        return [s for s in self.stages.tolist() if s in self.rows.without_route]

    def _alike(self) -> tuple[Floats, Floats]:
        """Return the precision of batches of variance 1, alike from one to the next: its diagonal, and beside it."""
        import numpy as np

        g = self.scales.likeness ** self.rows.apart[1:]
        fresh = 1 / (1 - g**2)
        own = np.ones(self.rows.apart.size)
        own[1:] = fresh
        own[:-1] += g**2 * fresh
        return own, -g * fresh

    def _solve(self, *, whole: bool) -> tuple[Floats, Floats]:
        """Return the estimates, and their covariance where the whole is wanted (else nothing of it)."""
        import numpy as np

        width, shares, first = self.columns.n, self._shares(), self.columns.batches
        precision = self.weights / self.own[self.code]
        products = shares[:, self.low] * shares[:, self.high]
        products *= precision[:, None]
        matrix = _sums(self.pairs, products, width * width).reshape(width, width)
        del products
        own, beside = self._alike()
        every, after = np.arange(width), np.arange(first + 1, width)
        matrix[every, every] += np.concatenate([self._prior(), own / self.scales.batch])
        matrix[after, after - 1] += beside / self.scales.batch
        z = self.rows.log_min - self.rows.offset
        right = _sums(self.columns.of_rows, shares * (precision * z)[:, None], width)
        right[1] += SLOPE * self.scales.shop_slope**-2
        return _solved(matrix, right, whole=whole)

    def _step(self, estimate: Floats, covariance: Floats) -> None:
        """Take the next weights and midpoints, and move the scales."""
        import numpy as np

        shares, places = self._shares(), self.columns.of_rows
        off = self.rows.log_min - self.rows.offset - (shares * estimate[places]).sum(axis=1)
        if self.tails:
            self.weights = np.minimum((TAIL + 1) / (TAIL + off**2 / self.own[self.code]), MOST_WEIGHT)
        if self.learn:
            twice = np.where(self.low == self.high, 1.0, 2.0)
            unsure = (covariance.ravel()[self.pairs] * shares[:, self.low] * shares[:, self.high]) @ twice
            self._move(estimate, covariance, self.weights * (off**2 + unsure))
        self.x = self._midpoints(estimate[1] + estimate[places[:, 5]])

    def _move(self, estimate: Floats, covariance: Floats, squares: Floats) -> None:
        """Move the scales one EM step: expected squares of each part, with the start as so many rows more."""
        import numpy as np

        sums = np.bincount(self.code, squares, self.stages.size)
        own = (2 * NU * START.own + sums.sum()) / (2 * NU + squares.size)
        self.own = (NU * own + sums) / (NU + self.n)
        expected = estimate**2 + np.diag(covariance)
        found = {}
        for part in PARTS:
            places = self.columns.parts[part]
            if part == "stage":
                places = places[~np.isin(self.stages_of(places), self._without_route())]
            start, worth = getattr(START, part), WORTH[part]
            found[part] = math.sqrt((worth * start**2 + expected[places].sum()) / (worth + places.size))
        batches = slice(self.columns.batches, None)
        each, known = expected[batches], estimate[batches]
        pairs = known[1:] * known[:-1] + np.diag(covariance[batches, batches], -1)
        precision, beside = self._alike()
        variance = BATCH_WORTH * own * START.batch / START.own + precision @ each + 2 * beside @ pairs
        variance /= BATCH_WORTH + each.size
        start = LIKENESS_WORTH * variance
        likeness = (START.likeness * start + pairs.sum()) / (start + each[:-1].sum())
        likeness = float(np.clip(likeness, 0, MOST_LIKE))
        self.scales = replace(self.scales, **found, own=float(own), batch=float(variance), likeness=likeness)

    def stages_of(self, places: Ints) -> list[int]:
        by_place = {place: key for (part, key), place in self.columns.at.items() if part == "stage"}
        return [by_place[place] for place in places.tolist()]  # type: ignore[misc]  # the key of a stage is its number


def _sums(places: npt.NDArray[np.signedinteger[Any]], values: Floats, n: int) -> Floats:
    """Return the sum of the values at each of n places."""
    import numpy as np

    found: Floats = np.asarray(np.bincount(places.ravel(), values.ravel(), n), float)
    return found


def _solved(matrix: Floats, right: Floats, *, whole: bool) -> tuple[Floats, Floats]:
    """Solve a symmetric positive system, and return its inverse where it is wanted.

    `matrix` has its lower half alone. NumPy's, not SciPy's: what a worker is asked first would wait for that import.
    """
    import numpy as np

    matrix += np.tril(matrix, -1).T
    if not whole:
        found: Floats = np.asarray(np.linalg.solve(matrix, right), float)
        return found, np.zeros((0, 0))
    inverse = np.linalg.inv(matrix)
    covariance: Floats = (inverse + inverse.T) / 2
    return covariance @ right, covariance


@dataclass(frozen=True, slots=True)
class Coming:
    """A stage of a batch to come, or of an open one: its lot, and ln minutes a piece as the route has it.

    `batch`: place of the batch; from `ShopFit.batches` on they are yet to come.
    """

    stage: int
    pattern: int
    method: int
    batch: int
    first: int
    last: int
    offset: float
    without_route: bool = False


class _Asked:
    """Stages to come as sums of what is estimated, and of what nothing is known of yet but its start."""

    def __init__(self, fit: ShopFit, coming: Sequence[Coming], apart: float) -> None:
        import numpy as np

        self.fit, self.coming, self.apart = fit, coming, apart
        self.known = np.zeros((len(coming), fit.columns.n))
        self.new: dict[tuple[str, Hashable], int] = {}
        self._new_shares: list[tuple[int, int, float]] = []
        self._variances: list[float] = []
        slopes = np.array([fit.slope(c.stage, c.method) for c in coming])
        places = LotSums([c.first for c in coming], [c.last for c in coming]).log_midpoints(slopes) - LOG_TEN
        for row, (one, x) in enumerate(zip(coming, places.tolist(), strict=True)):
            self._add(row, one, x)

    def _add(self, row: int, one: Coming, x: float) -> None:
        s = self.fit.scales
        self.known[row, :2] = 1.0, x
        stage = NO_ROUTE if one.without_route else s.stage
        self._part(row, ("stage", one.stage), 1.0, stage)
        self._part(row, ("pattern", (one.stage, one.pattern)), 1.0, s.pattern)
        self._part(row, ("method", (one.stage, one.method)), 1.0, s.method)
        self._part(row, ("slope", (one.stage, one.method)), x, s.slope)
        if one.batch < self.fit.batches:
            self.known[row, self.fit.columns.batches + one.batch] = self.fit.load(one.stage)
        elif self.fit.batches:
            self.known[row, -1] = self.fit.load(one.stage) * s.likeness ** self._after(one.batch)

    def _part(self, row: int, key: tuple[str, Hashable], share: float, sd: float) -> None:
        place = self.fit.columns.at.get(key)
        if place is not None:
            self.known[row, place] = share
            return
        if key not in self.new:
            self.new[key] = len(self.new)
            self._variances.append(sd**2)
        self._new_shares.append((row, self.new[key], share))

    def _after(self, batch: int) -> float:
        """Return how long after the last known batch one comes, in usual times between them."""
        return self.apart + batch - self.fit.batches

    def mean(self) -> Floats:
        """Return ln minutes a piece less the offset (stages)."""
        found: Floats = self.known @ self.fit.estimate
        return found

    def covariance(self) -> Floats:
        """Return their covariance, without what each is off by itself (stages × stages)."""
        import numpy as np

        new = np.zeros((len(self.coming), len(self.new)))
        for row, column, share in self._new_shares:
            new[row, column] += share
        found: Floats = self.known @ self.fit.covariance @ self.known.T + (new * np.array(self._variances)) @ new.T
        return found + self._batches_to_come()

    def _batches_to_come(self) -> Floats:
        """Return what batches to come have in common beyond the last known one (AR(1))."""
        import numpy as np

        s, n = self.fit.scales, self.fit.batches
        ahead = np.array([one.batch >= n for one in self.coming])
        at = np.array([self._after(one.batch) for one in self.coming])
        loads = np.array([self.fit.load(one.stage) for one in self.coming]) * ahead
        both = s.likeness ** np.abs(at[:, None] - at[None, :])
        past = s.likeness ** (np.maximum(at, 0)[:, None] + np.maximum(at, 0)[None, :]) if n else 0.0
        found: Floats = s.batch * (both - past) * loads[:, None] * loads[None, :]
        return found

    def slopes(self) -> Floats:
        """Return each stage's slope as such a sum (stages × parts)."""
        import numpy as np

        found = np.zeros_like(self.known)
        found[:, 1] = 1.0
        for row, one in enumerate(self.coming):
            place = self.fit.columns.at.get(("slope", (one.stage, one.method)))
            if place is not None:
                found[row, place] = 1.0
        return found


def expected(fit: ShopFit, coming: Sequence[Coming], apart: float = 1.0) -> tuple[Floats, Floats]:
    """Return mean and covariance of ln minutes a piece less what each is off by itself.

    `apart`: time from the last known batch to the next, in usual ones.
    """
    import numpy as np

    asked = _Asked(fit, coming, apart)
    return asked.mean() + np.array([one.offset for one in coming]), asked.covariance()


FORGOTTEN = math.log(4.0)
"""The most that a gap of half a year sets a count back, in ln count: to a quarter. A start, no source."""


def draw(
    fit: ShopFit, coming: Sequence[Coming], draws: int, seed: int, *, apart: float = 1.0, gap: float = 0.0
) -> Floats:
    """Draw ln minutes a piece (stages × draws): one draw of maker, stages, patterns, slopes for all batches to come.

    `gap`: 0 to 1, how far a pause sets the count back; for how far 1 does there is one draw for all, U(0, FORGOTTEN).
    What is drawn for a stage doesn't depend on those that come after it.
    """
    import numpy as np

    if not coming:
        return np.zeros((0, draws))
    asked = _Asked(fit, coming, apart)
    mean = asked.mean() + np.array([one.offset for one in coming])
    root: Floats = np.asarray(np.linalg.cholesky(asked.covariance() + 1e-10 * np.eye(len(coming))), float)
    common = np.random.default_rng([seed, 0]).standard_normal((len(coming), draws))
    found: Floats = mean[:, None] + root @ common
    if gap > 0:
        back = gap * np.random.default_rng([seed, 1]).uniform(0, FORGOTTEN, draws)
        found -= _slopes_given(asked, root, common) * back
    found += _by_itself(fit, coming, draws, seed)
    return found


def _slopes_given(asked: _Asked, root: Floats, common: Floats) -> Floats:
    """Return each stage's slope in these draws: its mean given the levels drawn (stages × draws).

    Its own spread about that mean is left out: the count set back is far less sure than the slope.
    """
    import numpy as np

    slopes = asked.slopes()
    cross = slopes @ asked.fit.covariance @ asked.known.T
    found: Floats = (slopes @ asked.fit.estimate)[:, None] + np.linalg.solve(root, cross.T).T @ common
    return found


def _by_itself(fit: ShopFit, coming: Sequence[Coming], draws: int, seed: int) -> Floats:
    """Draw what each batch is off at a stage by itself: Student's t, its scale drawn once a stage."""
    import numpy as np

    scale = {}
    for stage in dict.fromkeys(one.stage for one in coming):
        own, df = fit.own.get(stage, fit.scales.own), fit.df.get(stage, NU)
        scale[stage] = np.sqrt(own * df / np.random.default_rng([seed, 2, stage]).chisquare(df, draws))
    found: Floats = np.random.default_rng([seed, 3]).standard_t(TAIL, (len(coming), draws))
    for row, one in enumerate(coming):
        found[row] *= scale[one.stage]
    return found
