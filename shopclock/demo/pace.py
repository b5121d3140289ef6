"""Pace of the hands: practice, the batch's own luck, the piece's own luck."""

import math
from collections import defaultdict

from shopclock.demo.dice import about, dice
from shopclock.demo.shop import BatchPlan, DemoPace, DemoShop


class Paces:
    """Minutes of a piece, quicker with each piece made where practice pays."""

    def __init__(self, shop: DemoShop, seed: int) -> None:
        self._shop = shop
        self._seed = seed
        self._paces = {(pace.stage, pace.method): pace for pace in shop.paces}
        self._made: dict[tuple[str, str], int] = defaultdict(int)

    def minutes(self, plan: BatchPlan, stage: str, mark: str, ahead: int = 0) -> float:
        """Return what the next piece takes at a stage of a batch, so many others made before it."""
        pace = self._paces[stage, plan.method(stage)]
        count = self._made[stage, pace.method] + 1 + ahead
        batch = about(dice(self._seed, "batch", plan.days, stage), self._shop.batch_spread)
        piece = about(dice(self._seed, "piece", plan.days, stage, mark), self._shop.piece_spread)
        return _unit(pace, plan.pattern, count) * batch * piece

    def setup(self, plan: BatchPlan, stage: str, planned: float) -> float:
        """Return what setting up takes, around what the route plans."""
        return planned * about(dice(self._seed, "set-up", plan.days, stage), 2 * self._shop.batch_spread)

    def made(self, plan: BatchPlan, stage: str, pieces: int) -> None:
        """Count pieces that are through a stage."""
        self._made[stage, plan.method(stage)] += pieces


def _unit(pace: DemoPace, pattern: str, count: int) -> float:
    """Return the minutes of the nth piece: the unit theory of learning curves (Crawford)."""
    first: float = pace.minutes[pattern]
    return first * math.pow(count, math.log2(pace.rate))
