"""Is it getting faster: the verdict with its figures, and in words."""

from __future__ import annotations

import pytest

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.change import Change, change, in_a_table
from shopclock.analysis.learning.learning import BatchSizes
from shopclock.analysis.learning.sentences import between, caveat, change_text, each_doubling
from shopclock.analysis.model.verdict import Verdict
from tests.analysis.lots import lots, on_curve
from tests.analysis.records import record_of
from tests.analysis.rows import BEVELS

WAVERING = [1.05, 0.96, 1.0, 1.03, 0.97, 1.02, 0.95, 1.04, 0.99, 1.0, 0.98, 1.01]


def told(*args: object, **more: object) -> Change:
    record, chosen = record_of(lots(*args, **more))
    found = change(record, BEVELS, 0, chosen)
    assert isinstance(found, Change)
    return found


def wavering(minutes: list[float]) -> list[float]:
    return [m * w for m, w in zip(minutes, WAVERING, strict=False)]


@pytest.mark.parametrize(("rate", "verdict"), [(0.8, Verdict.FASTER), (1.0, Verdict.STEADY), (1.2, Verdict.SLOWER)])
def test_the_interval_decides_the_verdict(rate: float, verdict: Verdict) -> None:
    found = told(wavering(on_curve(30, rate, [6] * 12)), 6)
    assert found.verdict is verdict
    assert rate in found.rates


@pytest.mark.parametrize(("n", "patterns", "needed"), [(0, 1, 4), (1, 1, 4), (3, 1, 4), (4, 3, 5)])
def test_below_four_or_two_more_than_patterns_it_says_how_many_there_are(n: int, patterns: int, needed: int) -> None:
    kinds = [1 + i % patterns for i in range(n)]
    record, chosen = record_of(lots([20.0 + i for i in range(n)], patterns=kinds))
    found = change(record, BEVELS, 0, chosen)
    assert found == NoAnswer(NoAnswerReason.FEW, n, needed)
    assert found.text("firings") == f"not enough firings yet ({n} of {needed})"


def test_a_change_of_product_mix_is_no_skill() -> None:
    """Quick pattern late, slow pattern early, both flat: without levels this falls by a third."""
    patterns = [1, 1, 1, 1, 2, 1, 2, 2, 2, 2, 2, 2]
    minutes = wavering([30 if p == 1 else 20 for p in patterns])
    assert not told(minutes, patterns=patterns).verdict.improved
    assert told(minutes).verdict.improved


def test_where_some_pressed_set_up_all_stand_with_it() -> None:
    """Run with set-up inside, then apart: 26 min, then 20 beside 30/5 pressed. Nothing changed but the pressing."""
    minutes = [m - (6 if i > 5 else 0) for i, m in enumerate(wavering([26.0] * 12))]
    assert not told(minutes, setup_min=[0] * 6 + [30] * 6).verdict.improved
    assert told(minutes).verdict.improved


def test_the_figure_is_drawn_to_the_shops_and_its_range_is_the_stages_own() -> None:
    """Four steep batches of one stage: the shop believes a part of it, the range is as it was."""
    found = told([40.0, 31.0, 27.5, 24.0])
    own = (found.rates.low * found.rates.high) ** 0.5
    assert own < found.rate < 0.95


def test_the_next_ten_pieces_take_less_by_the_curve() -> None:
    found = told(wavering(on_curve(30, 0.8, [6] * 12)), 6)
    by_hand = 1 - ((72 + 5.5) / 72) ** (-0.32)
    assert found.less == pytest.approx(by_hand, rel=0.1)


def test_batches_that_grew_are_told_beside_a_change() -> None:
    sizes = [4, 4, 5, 6, 6, 7, 8, 8, 8]
    found = told(wavering(on_curve(30, 0.8, sizes)), sizes)
    assert found.sizes is BatchSizes.GREW
    assert caveat(found, "runs") == "runs grew too; the two can't be told apart"
    flat = told(wavering([20.0] * 9), sizes)
    assert caveat(flat, "runs") == ""


def test_in_a_table_of_many_one_that_only_just_counts_is_not_told() -> None:
    def one(p: float, verdict: Verdict = Verdict.FASTER) -> Change:
        return Change(verdict, 9, 0.9, Range(0.8, 0.99), None, 1.0, 0.01, BatchSizes.ALIKE, p)

    few = NoAnswer(NoAnswerReason.FEW, 2, 4)
    table = [one(0.04), one(0.0001), few, *[one(0.6, Verdict.UNKNOWN)] * 12]
    said = [c.verdict if isinstance(c, Change) else c for c in in_a_table(table)]
    assert said[:3] == [Verdict.UNKNOWN, Verdict.FASTER, few]
    alone = in_a_table([one(0.04)])[0]
    assert isinstance(alone, Change)
    assert alone.verdict is Verdict.FASTER


def test_words_withheld_from_a_table_say_what_the_range_beside_them_says_anywhere_else() -> None:
    """Within 5 % it is about as long, as for a stage without a word to withhold; a wider range can't be told."""

    def one(low: float, high: float, p: float = 0.6, verdict: Verdict = Verdict.FASTER) -> Change:
        return Change(verdict, 9, 0.98, Range(low, high), None, 1.0, 0.01, BatchSizes.ALIKE, p)

    steady = one(0.96, 1.003, verdict=Verdict.STEADY)
    table = [one(0.96, 0.999), one(0.96, 1.003, verdict=Verdict.OPEN), steady, one(0.94, 0.999), *[steady] * 8]
    told = [change_text(found) for found in in_a_table(table)]
    assert told[:4] == [
        "about as long (0.1 to 4 % less)",
        "about as long (4 % less to 0.3 % more)",
        "about as long (4 % less to 0.3 % more)",
        "can't tell yet (0.1 to 6 % less)",
    ]


# In words.


def made(verdict: Verdict, rates: Range = Range(0.83, 0.92)) -> Change:  # noqa: B008  # a value
    return Change(verdict, 9, 0.87, rates, 3, 0.75, 0.02, BatchSizes.ALIKE, 0.01)


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (made(Verdict.FASTER), "13 % quicker (8 to 17 %)"),
        (made(Verdict.STEP), "quicker by 25 % since 26-04"),
        (made(Verdict.ENDED), "got faster until about 26-04; no longer"),
        (made(Verdict.ONE_BATCH), "rests on 26-04 alone"),
        (made(Verdict.OPEN), "has got quicker"),
        (made(Verdict.UNKNOWN, Range(0.85, 1.9)), "can't tell yet (15 % less to 90 % more)"),
        (made(Verdict.UNKNOWN, Range(0.2, 6e8)), "can't tell yet (80 % less to many times more)"),
        (made(Verdict.STEADY, Range(0.97, 1.02)), "about as long (3 % less to 2 % more)"),
        (NoAnswer(NoAnswerReason.FEW, 1, 4), "not enough firings yet (1 of 4)"),
    ],
)
def test_a_verdict_in_a_table(found: Change | NoAnswer, said: str) -> None:
    assert change_text(found, "firings", "26-04") == said


def test_ranges_never_end_in_figures_without_sense() -> None:
    assert between(Range(1.1, 64277845.0)) == "10 % to many times more"
    assert between(Range(0.99995, 1.00001)) == "less than 0.1 % either way"
    assert between(Range(0.9, 0.996)) == "0.4 to 10 %"


def test_slower_is_said_as_slower() -> None:
    assert each_doubling(told(wavering(on_curve(30, 1.1, [6] * 12)), 6)).startswith("9 % slower each time")
