"""Simulated shops whose truth is known: rates, levels, set-ups, sizes, product mix, losses, guessed evenings."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from tests.analysis.rows import BEVELS, DAY_US, FREEHAND, JIG, MIN_US, row

if TYPE_CHECKING:
    from shopclock.shop.figures.trend_rows import TrendRow


@dataclass(frozen=True)
class Skill:
    """How a method goes: b, and the log level of each pattern at its first piece."""

    b: float
    levels: tuple[float, ...]


@dataclass
class Shop:
    """A shop under way: what it made, batch by batch. `spread`: of a batch about its curve, in ln minutes."""

    dice: np.random.Generator
    skills: dict[int, Skill]
    spread: float
    batches: int
    grows: bool
    mix_changes: bool
    setup_min: float
    pressed_from: int = 0
    made: dict[int, int] = field(default_factory=dict)
    rows: list[TrendRow] = field(default_factory=list)

    @property
    def patterns(self) -> int:
        return len(next(iter(self.skills.values())).levels)

    def make(self, batch: int, method: int, pattern: int, pieces: int) -> float:
        """Make a batch; the mean minutes that the clock saw for each piece."""
        first = self.made.get(method, 0) + 1
        self.made[method] = first + pieces - 1
        skill = self.skills[method]
        luck = self.dice.normal(0, self.spread) + self.dice.normal(0, 0.08, pieces)
        minutes = np.exp(skill.levels[pattern] + luck) * np.arange(first, first + pieces) ** skill.b
        mean, estimated = self._guessed(float(minutes.mean()))
        setup = self.setup_min * float(np.exp(self.dice.normal(0, 0.2)))
        if self.setup_min and batch < self.pressed_from:
            mean, setup = mean + setup / pieces, 0.0
        self.rows.append(
            row(
                batch,
                mean,
                pieces,
                method=method,
                pattern_id=pattern + 1,
                setup_us=round(setup * MIN_US),
                estimated_us=round(estimated * mean * pieces * MIN_US),
                middle_us=batch * 20 * DAY_US + int(self.dice.integers(0, 10 * DAY_US)),
                first_us=batch * 20 * DAY_US,
            )
        )
        return mean

    def _guessed(self, mean: float) -> tuple[float, float]:
        """In one batch of six an evening was guessed: what share of it, and what the minutes became by it."""
        if self.dice.random() > 1 / 6:
            return mean, 0.0
        share = self.dice.uniform(0.05, 0.6)
        guess = share * float(np.exp(self.dice.normal(0, 0.35)))
        return mean * (1 - share + guess), guess / (1 - share + guess)

    def pattern_of(self, batch: int) -> int:
        """A pattern by dice; where the mix changes, the first ones early and the last ones late."""
        late = batch / self.batches
        weights = np.array([1.05 - late, late, 0.3][: self.patterns]) if self.mix_changes else np.ones(self.patterns)
        return int(self.dice.choice(self.patterns, p=weights / weights.sum()))

    def pieces_of(self, batch: int) -> int:
        """Four to ten blanks, up to half as many again late where batches grow; the lost ones come together."""
        started = int(self.dice.integers(4, 11))
        if self.grows:
            started = round(started * (0.7 + 0.8 * batch / self.batches))
        return max(1, started - int(self.dice.binomial(started, self.dice.beta(0.4, 4))))


def shop(seed: int, *, flat: bool, pressed: bool = True, **other: object) -> Shop:
    """A shop with one method; `flat`: practice doesn't tell."""
    dice = np.random.default_rng([seed, 77])
    b = 0.0 if flat else float(np.log2(dice.uniform(0.75, 0.97)))
    batches = int(dice.integers(8, 31))
    plain: dict[str, object] = {
        "skills": {FREEHAND: Skill(b, _levels(dice))},
        "spread": float(dice.uniform(0.05, 0.2)),
        "batches": batches,
        "grows": bool(dice.random() < 0.4),
        "mix_changes": bool(dice.random() < 0.5),
        "setup_min": float(dice.uniform(5, 25)),
        "pressed_from": 0 if pressed else batches + 1,
    }
    made = Shop(dice, **(plain | other))
    for batch in range(1, made.batches + 1):
        made.make(batch, FREEHAND, made.pattern_of(batch), made.pieces_of(batch))
    return made


def _levels(dice: np.random.Generator) -> tuple[float, ...]:
    return tuple(float(x) for x in np.log(20) + dice.uniform(-0.5, 0.5, int(dice.integers(1, 4))))


def shop_of_two(seed: int) -> Shop:
    """A shop that had a jig, nearly flat, and takes up freehand, slower at first; some batches are half and half."""
    dice = np.random.default_rng([seed, 78])
    levels = _levels(dice)[:2]
    b = float(np.log2(dice.uniform(0.8, 0.93)))
    behind = -b * float(np.log(dice.uniform(4, 80)))
    jig = Skill(float(np.log2(dice.choice([1.0, dice.uniform(0.94, 1)]))), levels)
    skills = {JIG: jig, FREEHAND: Skill(b, tuple(level + behind for level in levels))}
    batches = int(dice.integers(14, 36))
    made = Shop(dice, skills, float(dice.uniform(0.05, 0.15)), batches, bool(dice.random() < 0.4), mix_changes=False,
                setup_min=0.0)  # fmt: skip
    for batch in range(1, batches + 1):
        _a_batch_of_two(made, batch)
    return made


def _a_batch_of_two(made: Shop, batch: int) -> None:
    pattern, pieces = made.pattern_of(batch), made.pieces_of(batch)
    half = pieces // 2
    way = "jig" if batch <= 4 else made.dice.choice(["jig", "freehand", "both"], p=[0.35, 0.5, 0.15])
    if way != "both" or half < 1:
        made.make(batch, JIG if way == "jig" else FREEHAND, pattern, pieces)
    else:
        made.make(batch, JIG, pattern, half)
        made.make(batch, FREEHAND, pattern, pieces - half)


__all__ = ["BEVELS", "FREEHAND", "JIG", "Shop", "shop", "shop_of_two"]
