"""Simulated shops that are not what the model takes a shop to be.

Practice stops at a plateau or comes in a step; batches are off in spells, pieces by evenings, now and then one goes
wild; routes are rounded guesses of a kind of work; patterns differ in a few stages alone; some evenings were guessed,
some pieces lost; gaps forget. All of it by dice, all of it known.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from shopclock.analysis.forecast.history import Done, History
from shopclock.analysis.forecast.stage_forecast import BatchJob, StageJob
from shopclock.analysis.learning.route_minutes import RouteMinutes
from tests.analysis.rows import DAY_US, MIN_US, row

if TYPE_CHECKING:
    from shopclock.shop.figures.trend_rows import TrendRow

METHOD = 0


@dataclass(frozen=True)
class Kind:
    """What kind of shop the dice may make.

    `alike`: how long spells of good and bad batches are, 0 to 1 (0: each batch by itself). `rates`: what is left when
    the count doubles, drawn between these. `flat_from`: pieces after which practice no longer tells, for all stages;
    else each stage has its own. `maker`: minutes of this maker over the route's, drawn wide where it is nothing.
    """

    stages: int = 12
    patterns: int = 1
    rates: tuple[float, float] = (0.80, 1.0)
    alike: float = 0.4
    noise: tuple[float, float] = (0.06, 0.18)
    together: tuple[float, float] = (0.04, 0.16)
    flat_from: float | None = None
    maker: float | None = None
    wild: float = 0.02
    guessed: float = 0.08
    lost: tuple[float, float] = (0.0, 0.10)


PLAIN = Kind()


@dataclass
class World:
    """A shop under way."""

    seed: int
    kind: Kind = PLAIN
    dice: np.random.Generator = field(init=False)
    rows: list[TrendRow] = field(default_factory=list)
    done: list[Done] = field(default_factory=list)
    made: int = 0
    day: int = 0
    mood: float = 0.0

    def __post_init__(self) -> None:
        kind = self.kind
        self.dice = dice = np.random.default_rng([self.seed, 15])
        n = kind.stages
        work = dice.integers(0, 3, n)  # three kinds of work: each as far off the route as a guess of that kind is
        bias = dice.standard_t(4, 3) * 0.2
        self.maker = kind.maker if kind.maker is not None else float(np.exp(dice.normal(0, 0.35)))
        self.route = np.maximum(5.0, np.round(np.exp(dice.normal(np.log(14), 0.6, n)) / 5) * 5)
        own = dice.laplace(0, 0.18, n)
        self.level = np.log(self.route * self.maker) + bias[work] + own
        self.rate = np.log2(dice.uniform(*kind.rates, n))
        ends = dice.uniform(20, 400, n)
        self.ends = np.full(n, kind.flat_from) if kind.flat_from is not None else ends
        # A pattern differs in a third of the stages; its route says so in half of these.
        differs = (dice.random((kind.patterns, n)) < 1 / 3) * dice.normal(0, 0.3, (kind.patterns, n))
        differs[0] = 0
        self.pattern = differs
        told = differs * (dice.random((kind.patterns, n)) < 0.5)
        self.routes = np.maximum(5.0, np.round(self.route * np.exp(told) / 5) * 5)
        self.noise = dice.uniform(*kind.noise, n)
        self.together = dice.uniform(*kind.together)
        self.lost = dice.uniform(*kind.lost)

    def table(self) -> dict[tuple[int, int], RouteMinutes]:
        """What the routes tell."""
        shape = self.routes.shape
        return {
            (s + 1, p + 1): RouteMinutes(float(self.routes[p, s])) for p in range(shape[0]) for s in range(shape[1])
        }

    def spell(self) -> float:
        """The next batch's own luck: a spell goes on, or another begins; uniform within, not normal."""
        if self.dice.random() >= self.kind.alike:
            self.mood = float(self.dice.uniform(-np.sqrt(3), np.sqrt(3)))
        return self.together * float(0.8 * self.mood + 0.6 * self.dice.normal())

    def batch(self, pieces: int | None = None, pattern: int = 0, *, apart_days: int = 14) -> float:
        """Work a batch; all its labour in minutes."""
        dice, n = self.dice, self.kind.stages
        pieces = int(dice.integers(4, 10)) if pieces is None else pieces
        number = len(self.done) + 1
        gone = np.where(dice.random(pieces) < self.lost, dice.integers(0, n, pieces), n)
        gone[0] = n
        luck, total = self.spell(), 0.0
        start = self.day * DAY_US
        counts = self.made + 1 + np.arange(pieces)
        for s in range(n):
            at = np.minimum(counts, self.ends[s]) / 10
            off = self.noise[s] * dice.standard_t(4) / np.sqrt(2) + luck * dice.uniform(0.5, 1.5)
            if dice.random() < self.kind.wild:
                off += dice.choice([-1, 1, 1, 1]) * dice.uniform(0.3, 0.9)
            each = float(np.exp(self.level[s] + self.pattern[pattern, s] + off) * np.mean(at ** self.rate[s]))
            passed, stopped = int(np.sum(gone > s)), int(np.sum(gone == s))
            total += each * (passed + stopped / 2)
            self._row(number, s, each, passed, pattern, start)
        self.made += pieces
        self.day += apart_days
        self.done.append(Done(number, pieces, int(np.sum(gone == n)), round(total * MIN_US), start, start + 9 * DAY_US))
        return total

    def _row(self, number: int, stage: int, each: float, passed: int, pattern: int, start: int) -> None:
        share = self.dice.uniform(0.05, 0.6) if self.dice.random() < self.kind.guessed else 0.0
        guess = share * float(np.exp(self.dice.normal(0, 0.35)))
        seen = each * (1 - share + guess)
        self.rows.append(
            row(
                number,
                seen,
                passed,
                method=None,
                stage_id=stage + 1,
                pattern_id=pattern + 1,
                estimated_us=round(guess * each * passed * MIN_US),
                first_us=start + stage * DAY_US // 2,
                middle_us=start + stage * DAY_US // 2 + DAY_US // 4,
            )
        )

    def forget(self, days: int, share: float) -> None:
        """Leave the shop for so long; a part of what practice brought is gone: the count falls to a power of itself."""
        self.day += days
        self.made = int(self.made ** (1 - share))

    def history(self) -> History:
        """What the record knows."""
        return History(tuple(self.rows), tuple(self.done), {}, self.table())

    @property
    def now_us(self) -> int:
        """When the next batch begins."""
        return self.day * DAY_US

    def job(self, pieces: int, pattern: int = 0) -> BatchJob:
        """The next batch as it is asked for."""
        stages = tuple(
            StageJob(s + 1, f"stage {s + 1}", None, float(self.routes[pattern, s])) for s in range(self.kind.stages)
        )
        return BatchJob(pattern + 1, pieces, stages)


def shop(seed: int, batches: int, kind: Kind = PLAIN) -> World:
    """A shop with so many batches behind it, patterns by dice."""
    made = World(seed, kind)
    for _ in range(batches):
        made.batch(pattern=int(made.dice.integers(0, kind.patterns)))
    return made
