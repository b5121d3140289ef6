"""What the next batch takes: from the shop's one model, and it says where that is the route alone."""

from __future__ import annotations

import numpy as np
import pytest

from shopclock.analysis.forecast.forecast import Honesty, at, forecast, forecasts, honesty, job_of, told_before
from shopclock.analysis.forecast.history import Done, blanks_for, loss_shares, lost_of
from shopclock.analysis.forecast.stage_forecast import ShopEstimates, StageJob
from shopclock.analysis.learning.route_minutes import RouteMinutes
from shopclock.analysis.model.shop_model import expected
from tests.analysis.forecasts import BEVEL, SAW, STAGES, history, job
from tests.analysis.rows import DAY_US, row


def steady(n: int) -> list[tuple[float, float]]:
    return [(10 + i % 3, 30 - i % 2) for i in range(n)]


def width(told_history, stages=STAGES) -> float:  # noqa: ANN001  # a History
    told = forecast(ShopEstimates(told_history), job(stages=stages), 4000)
    return told.hours(0.9) / told.hours(0.1)


def test_every_batch_narrows_it() -> None:
    widths = [width(history(*steady(n))) for n in (0, 1, 3, 9)]
    assert widths == sorted(widths, reverse=True)
    assert widths[0] > 2.5
    assert widths[-1] < 1.4


def test_without_history_it_is_the_route_and_says_so() -> None:
    told = forecast(ShopEstimates(history()), job(5, STAGES[1:]), 40_000)
    whole = np.log(told.total_min / (told.job.pieces - (told.job.pieces - told.finished) / 2) / 30)
    # The route is what the tenth piece takes; the first five are a little slower.
    assert np.median(whole) == pytest.approx(0.07 * np.log(10 / 2.7), abs=0.02)
    assert told.stages[0].n == 0
    assert told.said("runs") == "No runs yet: all minutes are the route's own, which may be far off."


def test_what_was_made_puts_right_the_stages_that_were_not() -> None:
    """A maker who takes twice what the route says takes longer at a new stage too, and it says what that rests on."""
    stages = (*STAGES, StageJob(9, "Etch", None, 12.0))
    routes = {(SAW, 1): RouteMinutes(10.0), (BEVEL, 1): RouteMinutes(30.0), (9, 1): RouteMinutes(12.0)}
    told = forecast(ShopEstimates(history(*[(20.0, 60.0)] * 6, routes=routes)), job(stages=stages), 100)
    assert told.said("runs") == "No runs yet for Etch: the route's minutes, put right by the other stages."
    assert [stage.n for stage in told.stages] == [6, 6, 0]
    assert 15 < told.stages[2].piece_min < 24


def test_a_stage_of_which_nothing_is_known_is_named_and_never_counted_as_nought() -> None:
    etch = StageJob(9, "Etch", None, 0.0)
    none = forecast(ShopEstimates(history()), job(stages=(etch,)), 100)
    assert not none.tells
    some = forecast(ShopEstimates(history()), job(stages=(*STAGES, etch)), 100)
    assert some.tells
    assert some.at_least == "at least "
    for told in (none, some):
        assert told.said().endswith(
            "Nothing is known of Etch yet, neither from a route nor timed: the hours are without it."
        )


def test_a_stage_that_was_added_and_timed_counts_with_its_minutes() -> None:
    """One batch of it, no route: most of what the shop says of it is that batch."""
    made = history(*steady(6))
    etched = row(6, 40.0, method=None, stage_id=9)
    known = ShopEstimates(type(made)((*made.rows, etched), made.batches, {}))
    told = forecast(known, job(stages=(*STAGES, StageJob(9, "Etch", None, 0.0))), 10)
    assert 30 < told.stages[2].piece_min < 45


def test_batches_together_share_their_error() -> None:
    known = ShopEstimates(history(*steady(3)))
    one, two = forecasts(known, [job(), job()], 4000)
    assert np.corrcoef(np.log(one.total_min), np.log(two.total_min))[0, 1] > 0.3
    alone = forecast(known, job(), 4000)
    assert one.minutes == pytest.approx(alone.minutes), "the second follows the first in the count, and changes nothing"


def test_an_open_batch_is_told_by_what_it_took_so_far() -> None:
    """Sawing went 40 % slower than ever in the open batch: bevelling it is drawn slower than in another."""
    made = history(*steady(8))
    open_rows = (row(20, 15.0, method=None, stage_id=SAW),)
    known = ShopEstimates(type(made)((*made.rows, *open_rows), made.batches, {}))
    here, next_one = (
        forecast(known, job_of(known.history, 1, 5, STAGES[1:], batch), 2000).hours(0.5) for batch in (20, None)
    )
    assert here > next_one


def test_pieces_made_before_count_as_in_trends() -> None:
    """A falling stage ahead of whose count stand five hundred pieces falls no further in the next batch."""
    falling = [(10 * 0.9**i, 30 * 0.9**i) for i in range(8)]
    plain = history(*falling)
    before = {(stage, 0, False): 500 for stage in (SAW, BEVEL)}
    late = type(plain)(plain.rows, plain.batches, before)
    coming, _ = ShopEstimates(late).coming([job()])
    assert [c.first for c in coming] == [541, 541]
    told = [forecast(ShopEstimates(h), job(), 10).stages[1].piece_min for h in (plain, late)]
    assert told[0] < told[1], "from the 541st on there is less to fall than from the 41st"


def test_a_pause_counts_from_six_weeks_on_and_in_full_after_half_a_year() -> None:
    made = history(*steady(5))
    last = max(one.middle_us for one in made.rows)
    told = [ShopEstimates(made, last + days * DAY_US).pause() for days in (10, 42, 112, 182, 900)]
    assert told == pytest.approx([0, 0, 0.5, 1, 1])
    assert ShopEstimates(history(), last).pause() == 0


def test_a_draw_is_the_models_own_prediction() -> None:
    known = ShopEstimates(history(*[(100.0, 60 * 0.95**i * (1.1 if i % 2 else 1.0)) for i in range(9)]))
    told = forecast(known, job(5, STAGES[1:]), 20_000)
    coming, _ = known.coming([job(5, STAGES[1:])])
    assert told.stages[0].piece_min == pytest.approx(float(np.exp(expected(known.fit, coming)[0][0])))
    whole = told.total_min[told.finished == 5] / 5
    assert np.median(whole) == pytest.approx(told.stages[0].piece_min, rel=0.02)


def test_set_up_comes_once() -> None:
    rows = tuple(row(i + 1, 30.0, method=None, stage_id=BEVEL, setup_us=600_000_000) for i in range(3))
    made = history()
    known = ShopEstimates(type(made)(rows, (), {}))
    stage = forecast(known, job(5, STAGES[1:]), 10).stages[0]
    assert (stage.piece_min, stage.once_min) == (pytest.approx(30.0, rel=0.1), 10.0)


def test_rework_is_part_of_what_a_piece_takes() -> None:
    rows = tuple(row(i + 1, 30.0, method=None, stage_id=BEVEL, rework_us=300_000_000) for i in range(3))
    known = ShopEstimates(type(history())(rows, (), {}))
    stage = forecast(known, job(5, STAGES[1:]), 10).stages[0]
    coming, _ = known.coming([job(5, STAGES[1:])])
    assert stage.piece_min == pytest.approx(float(np.exp(expected(known.fit, coming)[0][0])) * 31 / 30)


def test_the_same_record_gives_the_same_draws() -> None:
    one, other = (forecast(ShopEstimates(history(*steady(6))), job(), 500) for _ in range(2))
    assert np.array_equal(one.minutes, other.minutes)
    assert np.array_equal(one.finished, other.finished)


def test_at_eighty_percent_eight_draws_of_ten_need_no_more() -> None:
    told = forecast(ShopEstimates(history(*steady(6))), job(), 1000)
    assert np.mean(told.total_min <= told.hours(0.8) * 60 + 1e-9) == 0.8
    assert told.stage_hours(0, 0.5) < told.hours(0.5)


def test_stages_that_are_off_together_are_drawn_together() -> None:
    off = [0.7, 1.3, 1.0, 1.4, 0.75, 1.2, 0.8, 1.3, 0.7, 1.35]
    other = [1.3, 0.75, 1.3, 1.0, 0.7, 1.3, 1.2, 0.7, 1.35, 0.8]
    wide, narrow = (
        forecast(ShopEstimates(history(*[(10 * f, 30 * g) for f, g in zip(off, also, strict=True)])), job(), 5000)
        for also in (off, other)
    )
    together, apart = (np.corrcoef(np.log(told.minutes))[0, 1] for told in (wide, narrow))
    assert together > 0.5
    assert apart < together - 0.2


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
    assert honesty(history(*steady(3)), last=3).n == 2, "the first had none before it"


def test_what_would_have_been_told_knows_nothing_of_later_batches() -> None:
    made, other = history(*steady(6)), history(*steady(4), (80, 200), (90, 300))
    told = [told_before(ShopEstimates(h), h.batches[4], 500) for h in (made, other)]
    assert told[0] is not None
    assert told[1] is not None
    assert told[0].hours(0.5) == pytest.approx(told[1].hours(0.5), rel=0.1), "the scales are those of today, no more"


def test_honesty_is_said() -> None:
    assert Honesty(7, 9).text("runs") == "7 of the last 9 runs came in within it"
    assert honesty(history()).text() == "no batches to go by"


def test_at_returns_what_was_drawn() -> None:
    assert at(np.array([3.0, 1.0, 2.0, 4.0, 5.0]), 0.8) == 4.0
