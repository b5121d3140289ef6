"""Readings of the demo shop: hardness and edge of the first pieces of a batch, before it is closed."""

from functools import partial

from shopclock.demo.bench import DemoBench
from shopclock.demo.dice import dice
from shopclock.shop.values.entities import Batch
from shopclock.shop.work import readings

SO_MANY = 3
FROM_DAYS = 400
"""The maker began to measure so many days before the end."""
MIDDLE = {"HRC": (59.6, 1.0), "in": (0.0078, 0.0012)}
"""Middle and spread by unit."""
WRITTEN = {"HRC": "{:.1f}", "in": "{:.4f}"}


def measure(bench: DemoBench, batch: Batch, seed: int) -> None:
    """Take the readings of a batch, each by one press."""
    if bench.plans[batch.id].days > FROM_DAYS:
        return
    for kind in readings.kinds_for(bench.floor, batch):
        for piece in bench.floor.living(batch.id)[:SO_MANY]:
            step = readings.step_for(bench.floor, kind, batch, piece, None)
            value = dice(seed, "measured", batch.name, kind.name, piece.mark).gauss(*MIDDLE[kind.unit])
            take = partial(readings.take, kind=kind, step=step, piece=piece, typed=WRITTEN[kind.unit].format(value))
            bench.press(f"{kind.name} {piece.mark}", take)
