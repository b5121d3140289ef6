"""Do the answers hold on shops whose truth is known? Over 500 simulated ones each; what was measured is printed.

The limits are those asked for; a share of 500 wavers by about 1 % itself, so all dice are seeded.
"""

from __future__ import annotations

import math
import re
from copy import deepcopy
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np
import pytest

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.by_date import Drift, by_date
from shopclock.analysis.learning.learning import BatchSizes, Learning, Verdict, learning
from shopclock.analysis.learning.methods import Comparison, compare
from shopclock.analysis.learning.setup import FittedSetup, fitted_setup
from shopclock.analysis.learning.stage_trend import stage_trend
from shopclock.places import resource
from shopclock.shop.figures.trend_rows import counts
from tests.analysis.rows import MIN_US
from tests.truth.shops import BEVELS, FREEHAND, JIG, Shop, shop, shop_of_two

if TYPE_CHECKING:
    from shopclock.analysis.learning.stage_trend import Lot

pytestmark = pytest.mark.long

SHOPS = 500


def lots_of(made: Shop, method: int = FREEHAND) -> tuple[Lot, ...]:
    methods = stage_trend(made.rows, BEVELS).methods
    return next((m.lots for m in methods if m.method_id == method), ())


@cache
def fits(flat: bool, **kind: bool) -> list[tuple[Shop, Learning]]:
    """The shops of a kind, with the fits of those that had enough batches."""
    made = [shop(seed, flat=flat, **kind) for seed in range(SHOPS + 40)]
    found = [(one, learning(lots_of(one))) for one in made]
    return [(one, fit) for one, fit in found if isinstance(fit, Learning)][:SHOPS]


def share(what: str, found: list[bool]) -> float:
    """The share of shops in which it is so, printed; the manual says the same, to two shops of 500."""
    print(f"{what}: {100 * np.mean(found):.1f} % of {len(found)}")  # noqa: T201  the figures are asked for
    assert len(found) >= SHOPS
    assert 100 * np.mean(found) == pytest.approx(in_the_manual(what), abs=0.45)
    return float(np.mean(found))


@cache
def in_the_manual(what: str) -> float:
    """The percentage that the manual's table has for this."""
    page = resource("manual", "figures.md").read_text(encoding="utf-8")
    told = dict(re.findall(r"^\| (.+?) \| ([0-9.]+) % \|$", page, flags=re.MULTILINE))
    return float(told[what])


@pytest.mark.parametrize("flat", [False, True], ids=["learning", "flat"])
def test_the_interval_of_the_rate_holds(flat: bool) -> None:
    held = [2 ** one.skills[FREEHAND].b in fit.rate_range for one, fit in fits(flat)]
    assert 0.92 <= share(f"rate within its 95 % interval ({'flat' if flat else 'learning'})", held) <= 0.98


@pytest.mark.parametrize("flat", [False, True], ids=["learning", "flat"])
def test_with_set_up_inside_run_the_interval_is_of_both_together(flat: bool) -> None:
    """Of the rate of run alone it holds 87 % on shops that learn: set-up doesn't learn, and the answer says so."""
    held = [_rate_of_both(one) in fit.rate_range for one, fit in fits(flat, pressed=False)]
    assert share(f"rate of run and set-up within its 95 % interval ({'flat' if flat else 'learning'})", held) >= 0.92


def _rate_of_both(one: Shop) -> float:
    """The rate that the same batches have without luck and guesses, each with its share of the set-up."""
    skill, count, rows = one.skills[FREEHAND], 0, []
    for each in one.rows:
        places = np.arange(count + 1, count + each.pieces + 1)
        count += each.pieces
        run = float(np.mean(np.exp(skill.levels[each.pattern_id - 1]) * places**skill.b))
        rows.append(replace(each, run_us=round((run * each.pieces + one.setup_min) * MIN_US)))
    found = learning(lots_of(replace(one, rows=rows)))
    assert isinstance(found, Learning)
    return found.rate


@pytest.mark.parametrize("flat", [False, True], ids=["learning", "flat"])
def test_the_range_of_the_next_batch_holds(flat: bool) -> None:
    made = [(_next_batch(one, fit), fit.next_batch(fit.fitted.patterns[-1], 6)) for one, fit in fits(flat)]
    said = "flat" if flat else "learning"
    assert 0.92 <= share(f"next batch within 95 % ({said})", [m in ahead.in_95 for m, ahead in made]) <= 0.98
    assert 0.77 <= share(f"next batch within 80 % ({said})", [m in ahead.in_80 for m, ahead in made]) <= 0.83


def _next_batch(one: Shop, fit: Learning) -> float:
    """Six more of the pattern last begun, as the clock would see them and as they would count.

    A batch of which more than a fifth is guessed is left out of the fit, so the range isn't one of such batches: with
    them (one in nine here) it held 76.8 and 78.0 % at 80.
    """
    assert one.made[FREEHAND] == fit.made
    while True:
        later = deepcopy(one)
        one.dice.random()  # other dice at the next try
        minutes = later.make(one.batches + 1, FREEHAND, fit.fitted.patterns[-1] - 1, 6)
        if counts(later.rows[-1]):
            return minutes


@pytest.mark.parametrize("mix_changes", [False, True], ids=["steady mix", "mix changes"])
@pytest.mark.parametrize("grows", [False, True], ids=["steady sizes", "growing"])
def test_a_flat_stage_is_not_called_faster(mix_changes: bool, grows: bool) -> None:
    called = [fit.verdict is Verdict.FASTER for _, fit in fits(True, mix_changes=mix_changes, grows=grows)]
    assert share(f"flat called faster ({_mix(mix_changes)}, {'growing' if grows else 'steady'} sizes)", called) <= 0.04


def test_a_flat_stage_with_set_up_inside_run_is_not_called_faster_without_the_caveat() -> None:
    called = [
        fit.verdict is Verdict.FASTER and fit.fitted.sizes is BatchSizes.ALIKE for _, fit in fits(True, pressed=False)
    ]
    assert share("flat, set-up not pressed, called faster without the caveat", called) <= 0.04


@pytest.mark.parametrize("mix_changes", [False, True], ids=["steady mix", "mix changes"])
def test_a_flat_stage_has_no_trend_by_date(mix_changes: bool) -> None:
    drifts = [by_date([p.lot for p in fit.points]) for _, fit in fits(True, mix_changes=mix_changes)]
    called = [drift.trend.significant for drift in drifts if isinstance(drift, Drift)]
    assert share(f"flat called a trend by date ({_mix(mix_changes)})", called) <= 0.05


def _mix(changes: bool) -> str:
    return f"{'changing' if changes else 'steady'} mix"


def test_practice_that_tells_is_mostly_seen() -> None:
    """Not asked for: without it a fit that never says anything would pass all the rest."""
    strong = [(one, fit) for one, fit in fits(False) if one.skills[FREEHAND].b < math.log2(0.9)]
    seen = np.mean([fit.verdict is Verdict.FASTER for _, fit in strong])
    print(f"a rate below 90 % called faster: {100 * seen:.1f} % of {len(strong)}")  # noqa: T201  the figures are asked for
    assert 100 * seen == pytest.approx(in_the_manual("a rate below 90 % called faster"), abs=0.45)
    assert seen > 0.85


def test_the_range_of_the_crossing_holds() -> None:
    made = [shop_of_two(seed) for seed in range(SHOPS + 100)]
    found = [(one, compare(lots_of(one, JIG), lots_of(one))) for one in made]
    held = [_holds(one, answer) for one, answer in found if isinstance(answer, Comparison)][:SHOPS]
    assert share("crossing within its range", held) >= 0.90


def _holds(one: Shop, found: Comparison) -> bool:
    true = _true_crossing(one)
    return (math.inf if found.low is None else found.low) <= true <= (math.inf if found.high is None else found.high)


def _true_crossing(one: Shop) -> float:
    """Walk through the count of freehand until it is not slower than the jig is by then; infinite beyond sight."""
    own, other = lots_of(one), lots_of(one, JIG)
    by_hand, by_jig = one.skills[FREEHAND], one.skills[JIG]
    for count in range(1, 3 * own[-1].last_piece + 1):
        lot = next((lot for lot in own if count <= lot.last_piece), None)
        beside = [j.last_piece for j in other if lot is None or j.at_us <= lot.at_us] or [other[0].last_piece]
        ahead = by_hand.levels[0] + by_hand.b * math.log(count) - by_jig.levels[0] - by_jig.b * math.log(max(beside))
        if ahead <= 0:
            return count
    return math.inf


@pytest.mark.parametrize("flat", [False, True], ids=["learning", "flat"])
def test_the_range_of_a_fitted_set_up_holds(flat: bool) -> None:
    made: list[tuple[Shop, FittedSetup]] = []
    for seed in range(1000, 2200):
        one = shop(seed, flat=flat, pressed=False)
        fit = learning(lots_of(one))
        found = fit if isinstance(fit, NoAnswer) else fitted_setup(fit)
        if isinstance(found, FittedSetup):
            made.append((one, found))
    # Each batch's set-up wavers by a fifth about the middle: its mean is exp(0.02) times that.
    held = [one.setup_min * math.exp(0.02) in found.range for one, found in made][:SHOPS]
    assert 0.92 <= share(f"fitted set-up within its 95 % range ({'flat' if flat else 'learning'})", held) <= 0.98
