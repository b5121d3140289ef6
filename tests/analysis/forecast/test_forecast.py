"""What the next batch takes: from the fit, from a mean, or from the route, and it says which."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopclock.analysis.forecast.forecast import Honesty, at, forecast, honesty, job_of
from shopclock.analysis.forecast.history import Done, blanks_for, loss_shares, lost_of
from shopclock.analysis.forecast.stage_forecast import (
    Basis,
    StageEstimates,
    StageJob,
    common_correlation,
    pooled,
    stage_known,
)
from shopclock.analysis.learning.answer import NoAnswer
from tests.analysis.forecasts import BEVEL, SAW, STAGES, history, job
from tests.analysis.rows import row


def steady(n: int) -> list[tuple[float, float]]:
    return [(10 + i % 3, 30 - i % 2) for i in range(n)]


@pytest.mark.parametrize(("batches", "basis"), [(0, Basis.ROUTE), (2, Basis.ROUTE), (3, Basis.MEAN), (5, Basis.FIT)])
def test_what_it_rests_on_grows_with_the_batches(batches: int, basis: Basis) -> None:
    told = forecast(StageEstimates(history(*steady(batches))), job(), 100)
    assert [stage.basis for stage in told.stages] == [basis, basis]
    assert bool(told.said()) is (basis is Basis.ROUTE)


def test_without_history_it_is_the_route_times_or_divided_by_two() -> None:
    told = forecast(StageEstimates(history()), job(5, STAGES[1:]), 40_000)
    whole = np.log(told.total_min / (told.job.pieces - (told.job.pieces - told.finished) / 2) / 30)
    assert np.quantile(whole, [0.1, 0.5, 0.9]) == pytest.approx([-math.log(2), 0, math.log(2)], abs=0.02)
    assert told.said() == "Not enough batches yet: all minutes are the route's own, times or divided by 2."


def test_what_is_known_in_part_is_said_in_part() -> None:
    stages = (*STAGES, StageJob(9, "Etch", None, 12.0))
    told = forecast(StageEstimates(history(*steady(6))), job(stages=stages), 100)
    assert told.said("runs") == "Not enough runs yet for Etch: the route's own minutes, times or divided by 2."


def test_a_route_without_minutes_says_that_nothing_is_counted() -> None:
    none = forecast(StageEstimates(history()), job(stages=(StageJob(9, "Etch", None, 0.0),)), 100)
    assert none.said() == "Neither batches nor the route tell any minutes yet, so the work counts as nothing."
    some = forecast(StageEstimates(history()), job(stages=(*STAGES, StageJob(9, "Etch", None, 0.0))), 100)
    assert some.said().endswith("The route tells none for Etch: counted as nothing.")


def test_a_draw_is_the_fits_own_prediction() -> None:
    """Against the fit's 80 % range, which the published regressions stand behind."""
    made = history(*[(100 * 1.0, 60 * 0.95**i * (1.1 if i % 2 else 1.0)) for i in range(9)])
    known = StageEstimates(made)
    fit = stage_known(made, BEVEL, None).fit
    assert not isinstance(fit, NoAnswer)
    expected = fit.next_batch(1, 5)
    told = forecast(known, job(5, STAGES[1:]), 60_000)
    whole = told.total_min[told.finished == 5] / 5
    assert np.quantile(whole, [0.1, 0.5, 0.9]) == pytest.approx(
        [expected.in_80.low, expected.minutes, expected.in_80.high], rel=0.02
    )


def test_set_up_comes_once() -> None:
    rows = tuple(row(i + 1, 30.0, method=None, stage_id=BEVEL, setup_us=600_000_000) for i in range(3))
    made = history()
    known = StageEstimates(type(made)(rows, (), {}))
    stage = forecast(known, job(5, STAGES[1:]), 10).stages[0]
    assert (stage.piece_min, stage.once_min) == (pytest.approx(30.0), 10.0)


def test_rework_is_part_of_what_a_piece_takes() -> None:
    rows = tuple(row(i + 1, 30.0, method=None, stage_id=BEVEL, rework_us=300_000_000) for i in range(3))
    stage = forecast(StageEstimates(type(history())(rows, (), {})), job(5, STAGES[1:]), 10).stages[0]
    assert stage.piece_min == pytest.approx(31.0)


def test_the_same_record_gives_the_same_draws() -> None:
    one, other = (forecast(StageEstimates(history(*steady(6))), job(), 500) for _ in range(2))
    assert np.array_equal(one.minutes, other.minutes)
    assert np.array_equal(one.finished, other.finished)


def test_at_eighty_percent_eight_draws_of_ten_need_no_more() -> None:
    told = forecast(StageEstimates(history(*steady(6))), job(), 1000)
    assert np.mean(told.total_min <= told.hours(0.8) * 60 + 1e-9) == 0.8
    assert told.stage_hours(0, 0.5) < told.hours(0.5)


def test_stages_that_are_off_together_are_drawn_together() -> None:
    off = [0.8, 1.2, 1.0, 1.25, 0.85, 1.1, 0.9, 1.15]
    together = history(*[(10 * f, 30 * f) for f in off])
    apart = history(*[(10 * f, 30 * g) for f, g in zip(off, [1.0, 0.8, 1.2, 1.0, 1.1, 0.9, 1.2, 1.1], strict=True)])
    for made, low, high in ((together, 0.999, 1.0), (apart, 0.0, 0.3)):
        known = {s: stage_known(made, s, None) for s in (SAW, BEVEL)}
        assert low <= common_correlation(known) <= high
    wide, narrow = (forecast(StageEstimates(made), job(), 5000) for made in (together, apart))
    assert np.corrcoef(np.log(wide.minutes))[0, 1] > 0.8
    assert np.corrcoef(np.log(narrow.minutes))[0, 1] < 0.5


def test_a_young_stage_borrows_the_spread_of_the_others() -> None:
    made = history(*steady(6))
    young = tuple(row(i + 1, 20.0, method=None, stage_id=9) for i in range(3))
    known = StageEstimates(type(made)((*made.rows, *young), made.batches, {}))
    stages = (*STAGES, StageJob(9, "Etch", None, 12.0))
    told = forecast(known, job(stages=stages), 10)
    pool = pooled({s: known.of(s, None) for s in (SAW, BEVEL, 9)})
    assert (told.stages[2].spread, told.stages[2].df) == (pool.spread, pool.df)
    assert told.stages[2].leverage == pytest.approx(1 / 3)


def test_pooled_spread_is_that_of_all_residuals() -> None:
    known = {s: stage_known(history(*steady(7)), s, None) for s in (SAW, BEVEL)}
    squares = df = 0.0
    for one in known.values():
        assert not isinstance(one.fit, NoAnswer)
        squares += sum(math.log(p.minutes / p.expected) ** 2 for p in one.fit.points)
        df += len(one.fit.points) - 2
    assert pooled(known).spread == pytest.approx(math.sqrt(squares / df))


def test_the_method_is_that_of_the_last_batch() -> None:
    rows = (row(1, 30, method=1, stage_id=BEVEL), row(2, 30, method=2, stage_id=BEVEL))
    rows += (row(3, 30, method=1, stage_id=BEVEL, pattern_id=7),)
    made = type(history())(rows, (), {})
    assert [s.method_id for s in job_of(made, 1, 5, STAGES).stages] == [None, 2]


def done(pieces: int, finished: int, n: int) -> tuple[Done, ...]:
    return tuple(Done(i, pieces, finished, 1, i, i + 1) for i in range(n))


def test_losses_of_ten_batches_are_drawn_as_they_came() -> None:
    dice = np.random.default_rng(1)
    past = (*done(10, 10, 9), *done(10, 4, 1))
    shares = loss_shares(past, 20_000, dice)
    assert set(np.unique(shares)) == {0.0, 0.6}
    lost = lost_of(5, shares, dice.random(20_000), whole=True)
    assert set(np.unique(lost)) == {0, 3}
    assert np.mean(lost == 3) == pytest.approx(0.1, abs=0.01)


def test_below_ten_batches_losses_are_beta_binomial() -> None:
    """Against scipy's own beta-binomial."""
    from scipy.stats import betabinom

    dice = np.random.default_rng(2)
    shares = loss_shares(done(6, 5, 3), 40_000, dice)
    lost = lost_of(6, shares, dice.random(40_000), whole=False)
    seen = np.bincount(lost, minlength=7) / 40_000
    assert seen == pytest.approx(betabinom.pmf(np.arange(7), 6, 1 + 3, 9 + 15), abs=0.01)


def test_blanks_are_enough_at_eighty_percent_and_one_fewer_is_not() -> None:
    """Losses that always take a quarter of eight: eight blanks bring six, seven only five or six."""
    assert blanks_for(6, done(8, 6, 12), 4000, 1) == 8
    assert blanks_for(6, done(8, 8, 12), 4000, 1) == 6
    assert blanks_for(6, done(8, 0, 12), 4000, 1) is None


def test_past_batches_are_forecast_from_those_before_alone() -> None:
    told = honesty(history(*steady(12)))
    assert told.n == 9
    assert honesty(history(*steady(11), (100, 300)), last=1) == Honesty(0, 1)
    assert honesty(history(*steady(11), (5, 15)), last=1) == Honesty(1, 1)
    assert honesty(history(*steady(3)), last=3).n == 0


def test_honesty_is_said() -> None:
    assert Honesty(7, 9).text("runs") == "7 of the last 9 runs came in within it"
    assert honesty(history()).text() == "no batches to go by"


def test_at_returns_what_was_drawn() -> None:
    assert at(np.array([3.0, 1.0, 2.0, 4.0, 5.0]), 0.8) == 4.0
