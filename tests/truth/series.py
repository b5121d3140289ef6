"""Stages of simulated shops as the verdict reads them: minutes of batches along the count, made by other rules."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from shopclock.analysis.model.series import Series
from shopclock.analysis.model.verdict import Look, Pool, look, pooled

if TYPE_CHECKING:
    from collections.abc import Callable

Curve = "Callable[[np.ndarray, np.random.Generator], np.ndarray]"
SHOP = 12
"""Stages that share spread and likeness in a shop."""


@dataclass(frozen=True)
class Noise:
    """How batches waver: `alike` correlation of neighbours, `tails` degrees of freedom (normal where it is nothing)."""

    alike: float = 0.0
    tails: float | None = 5.0
    wide: tuple[float, float] = (0.07, 0.20)

    def drawn(self, dice: np.random.Generator, n: int) -> np.ndarray:
        """Deviations of n batches in ln minutes."""
        spread = dice.uniform(*self.wide)
        fresh = dice.standard_normal(n)
        if self.tails is not None:
            fresh = dice.standard_t(self.tails, n) / np.sqrt(self.tails / (self.tails - 2))
        found = np.empty(n)
        found[:1] = fresh[:1]
        for i in range(1, n):
            found[i] = self.alike * found[i - 1] + np.sqrt(1 - self.alike**2) * fresh[i]
        return spread * found


PLAIN = Noise()


def counts(dice: np.random.Generator, n: int) -> np.ndarray:
    """Where n batches of 4 to 9 stand in the count: the middle of each."""
    last = np.cumsum(dice.integers(4, 10, n))
    first = np.concatenate([[1], last[:-1] + 1])
    return np.exp(np.array([np.log(np.arange(f, t + 1)).mean() for f, t in zip(first, last, strict=True)]))


def shop(
    seed: int, n: int, curve: Callable[..., np.ndarray], noise: Noise = PLAIN, stages: int = SHOP, *, patterns: int = 2
) -> list[Series]:
    """Stages of one shop; `curve(counts, dice)` is ln minutes without luck. Patterns by dice."""
    dice = np.random.default_rng([seed, 16])
    found = []
    for _ in range(stages):
        at, pattern = counts(dice, n), dice.integers(0, patterns, n)
        y = 3 + 0.2 * pattern + curve(at, dice) + noise.drawn(dice, n)
        found.append(Series(np.arange(n), pattern, np.log(at), y))
    return found


def looks(made: list[Series]) -> tuple[list[Look | None], Pool]:
    """What the verdicts are read from."""
    pool = pooled(made)
    return [look(one, pool) for one in made], pool


def flat(at: np.ndarray, _dice: np.random.Generator) -> np.ndarray:
    return 0 * at


def at_rate(rate: float) -> Callable[..., np.ndarray]:
    return lambda at, _dice: np.log2(rate) * np.log(at)


def slow_start(at: np.ndarray, _dice: np.random.Generator) -> np.ndarray:
    """The first batch takes twice as long; then nothing changes."""
    return np.log(2.0) * (np.arange(at.size) == 0)


def until_batch(last: int, rate: float) -> Callable[..., np.ndarray]:
    """Practice tells until a batch and then no longer."""
    return lambda at, _dice: np.log2(rate) * np.log(np.minimum(at, at[last - 1]))


def new_grinder(at: np.ndarray, dice: np.random.Generator) -> np.ndarray:
    """A quarter less from some batch on."""
    return np.log(0.75) * (np.arange(at.size) >= dice.integers(4, at.size - 3))
