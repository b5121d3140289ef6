"""Weeks of simulated makers: how much of the planned hours becomes work."""

from __future__ import annotations

import numpy as np

from shopclock.analysis.forecast.shop_hours import drawn_yields

AHEAD = 300
MORE = 200


def runs(dice: np.random.Generator, n: int) -> np.ndarray:
    """Weeks alike in runs of three or so, each run at any level."""
    found: list[float] = []
    while len(found) < n:
        found += [dice.uniform(0.05, 0.9)] * int(dice.geometric(1 / 3))
    return np.clip(np.array(found[:n]) + dice.normal(0, 0.1, n), 0, 1)


def spells(dice: np.random.Generator, n: int) -> np.ndarray:
    """Good spells and bad ones, two months each on the mean."""
    good, found = bool(dice.random() < 0.5), list[float]()
    while len(found) < n:
        found += [0.7 if good else 0.2] * int(dice.geometric(1 / 8))
        good = not good
    return np.clip(np.array(found[:n]) + dice.normal(0, 0.12, n), 0, 1)


def held(seed: int, kind: str, known: int) -> bool:
    """Tell whether work of one to six whole weeks was done by the week that was told 8 times in 10."""
    dice = np.random.default_rng([seed, 17])
    made = (runs if kind == "runs" else spells)(dice, known + AHEAD)
    work = dice.uniform(1, 6)
    true = int(np.searchsorted(np.cumsum(made[known:]), work))
    drawn = np.cumsum(drawn_yields(made[:known].tolist(), MORE, 1000, np.random.default_rng(seed)), axis=0)
    told = (drawn < work).sum(axis=0)
    return true <= float(np.quantile(told, 0.8, method="inverted_cdf"))
