"""Chance that comes out the same each time."""

import math
from random import Random


def dice(seed: int, *what: object) -> Random:
    """Return the dice of one thing; what is thrown for it shifts nothing thrown for others."""
    return Random("/".join(map(str, (seed, *what))))  # noqa: S311  # invented figures, nothing secret


def about(thrown: Random, spread: float) -> float:
    """Return a factor around 1: as often half as twice, mostly within the spread."""
    return math.exp(thrown.gauss(0, spread))
