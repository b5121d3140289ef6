"""Groups of figures that one simulated shop gives at once: what is tried, and what came out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from shopclock.analysis.forecast.forecast import at, forecasts
from shopclock.analysis.forecast.stage_forecast import ShopEstimates
from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.by_date import by_date
from shopclock.analysis.learning.learning import Learning, fit_input, learning
from shopclock.analysis.learning.methods import Comparison, compare
from shopclock.analysis.learning.setup import FittedSetup, fitted_setup
from shopclock.analysis.learning.stage_trend import stage_trend
from shopclock.analysis.model.verdict import STEADY, Verdict, discoveries, pooled, standings, verdict
from tests.analysis.lots import lots
from tests.truth import series, weeks
from tests.truth.crossing import true_crossing
from tests.truth.series import Noise
from tests.truth.shops import BEVELS, FREEHAND, JIG, shop_of_two
from tests.truth.shops import shop as shop_of_one
from tests.truth.world import Kind, World, shop

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.analysis.learning.stage_trend import Lot

    Found = dict[str, list[float]]
    Try = Callable[[int], Found]

DRAWS = 1000


def _told(world: World, batches: int = 1, pattern: int = 0) -> Found:
    """Ask for batches to come, work them, and see."""
    sizes = [int(world.dice.integers(4, 10)) for _ in range(batches)]
    told = forecasts(ShopEstimates(world.history(), world.now_us), [world.job(size, pattern) for size in sizes], DRAWS)
    minutes = sum((one.total_min for one in told[1:]), told[0].total_min)
    true = sum(world.batch(size, pattern) for size in sizes)
    low, middle, likely, high = (at(minutes, share) for share in (0.1, 0.5, 0.8, 0.9))
    return {
        "8 times in 10": [true <= likely],
        "from to": [low <= true <= high],
        "error": [abs(middle / true - 1)],
        "width": [high / low],
    }


def behind(batches: int, **kind: object) -> Try:
    """The next batch of a shop with so many behind it."""
    return lambda seed: _told(shop(seed, batches, Kind(**kind)))  # type: ignore[arg-type]  # its own fields


def luck(batches: int) -> Try:
    """The least error that any forecast can have: that of the middle of what the next batch takes in this very shop."""

    def try_it(seed: int) -> Found:
        world = shop(seed, batches)
        pieces = int(world.dice.integers(4, 10))
        again = [_other_luck(world, i).batch(pieces) for i in range(AGAIN)]
        return {"error": [abs(float(np.median(again)) / world.batch(pieces) - 1)]}

    return try_it


def _other_luck(world: World, i: int) -> World:
    other = replace(world, rows=[], done=list(world.done))
    for name in vars(world).keys() - {"dice", "rows", "done"}:
        setattr(other, name, getattr(world, name))
    other.dice = np.random.default_rng([world.seed, 22, i])
    return other


AGAIN = 200


def second_pattern(seed: int) -> Found:
    """The first batch of a second pattern after twelve of another."""
    world = World(seed, Kind(patterns=2))
    for _ in range(12):
        world.batch()
    return _told(world, pattern=1)


def three_open(seed: int) -> Found:
    return _told(shop(seed, 8), 3)


def after_a_gap(seed: int) -> Found:
    world = shop(seed, 8)
    world.forget(182, float(world.dice.uniform(0.1, 0.5)))
    return _told(world)


def dates(kind: str, known: int) -> Try:
    return lambda seed: {"8 times in 10": [weeks.held(seed, kind, known)]}


def said(n: int, curve: Callable[..., np.ndarray], noise: Noise = series.PLAIN, stages: int = series.SHOP) -> Try:
    """What is said of each stage of a shop, and of its table."""

    def try_it(seed: int) -> Found:
        made, _ = series.looks(series.shop(seed, n, curve, noise, stages))
        words = [verdict(one) for one in made]
        ok = discoveries([1.0 if one is None else one.bounds.p for one in made], 0.05)
        table = any(word.improved and fine for word, fine in zip(words, ok, strict=True))
        found: Found = {word.name: [float(one is word) for one in words] for word in Verdict}
        return found | {"improved": [float(one.improved) for one in words], "table": [float(table)]}

    return try_it


def wild(n: int, *, first: bool = False, wide: bool = True, patterns: int = 1) -> Try:
    """A batch of four times its minutes in one stage of a shop; or none, and what is told all the same."""

    def try_it(seed: int) -> Found:
        made = series.shop(seed, n, series.at_rate(0.92), Noise(tails=None), patterns=patterns)
        dice = np.random.default_rng([seed, 18])
        place = 0 if first else int(dice.integers(0, n))
        if wide:
            y = made[0].y.copy()
            y[place] += np.log(4.0)
            made[0] = replace(made[0], y=y)
        pool = pooled(made)
        told = [standings(one, pool) or [] for one in made]
        charts = [float(any(s.wild for s in one)) for one in told[1:] if one]
        return {"told": [float(bool(told[0]) and told[0][place].wild)], "false": charts}

    return try_it


def freehand_slower(seed: int) -> Found:
    """Freehand takes 15 % longer than the jig; six batches each, and nothing else changes."""
    dice = np.random.default_rng([seed, 19])
    spread = dice.uniform(0.08, 0.2)
    both = [lots((20 * f * np.exp(dice.normal(0, spread, 6))).tolist()) for f in (1.0, 1.15)]
    later = [replace(lot, number=lot.number + 6, at_us=lot.at_us + both[0][-1].at_us) for lot in both[1]]
    found = compare(later, both[0])
    if isinstance(found, NoAnswer):
        return {"as long": []}
    return {"as long": [float(found.now_range.low >= 1 - STEADY and found.now_range.high <= 1 + STEADY)]}


def flat_by_date(seed: int) -> Found:
    """Tell whether a trend by date is told of a flat stage whose mix of patterns changes."""
    made = shop_of_one(seed, flat=True, mix_changes=True)
    found = by_date(fit_input(_lots(made.rows, FREEHAND)))
    return {"trend": [] if isinstance(found, NoAnswer) else [float(found.trend.significant)]}


def _lots(rows: list, method: int) -> tuple[Lot, ...]:
    return next((m.lots for m in stage_trend(rows, BEVELS).methods if m.method_id == method), ())


def alone(seed: int) -> Found:
    """One stage by itself: its rate in the interval, its set-up told from the sizes."""
    found: Found = {"rate": [], "setup": []}
    made = shop_of_one(seed, flat=False)
    fit = learning(_lots(made.rows, FREEHAND))
    if isinstance(fit, Learning):
        found["rate"] = [float(2 ** made.skills[FREEHAND].b in fit.rate_range)]
    inside = shop_of_one(seed, flat=False, pressed=False)
    fit = learning(_lots(inside.rows, FREEHAND))
    setup = fitted_setup(fit) if isinstance(fit, Learning) else None
    if isinstance(setup, FittedSetup):
        # Each batch's set-up wavers by a fifth about the middle: its mean is exp(0.02) times that.
        found["setup"] = [float(inside.setup_min * np.exp(0.02) in setup.range)]
    return found


def crossing(seed: int) -> Found:
    made = shop_of_two(seed)
    own, other = _lots(made.rows, FREEHAND), _lots(made.rows, JIG)
    found = compare(other, own)
    if not isinstance(found, Comparison):
        return {"crossing": []}
    low, high = (np.inf if end is None else end for end in (found.low, found.high))
    return {"crossing": [float(low <= true_crossing(made, own, other) <= high)]}
