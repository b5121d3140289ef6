"""The whole piece as one trend, and the table of all stages."""

from __future__ import annotations

import math

import pytest

from shopclock.analysis.answer import NoAnswer
from shopclock.analysis.by_date import Drift, by_date
from shopclock.analysis.learning import Learning, Verdict, learning
from shopclock.analysis.run_chart import BatchAfterBatch, batch_after_batch
from shopclock.analysis.said import change_text, learning_text
from shopclock.analysis.stages_table import stages_table, time_shares
from shopclock.analysis.whole_piece import whole_piece
from shopclock.shop.stage_rows import WHOLE, LeftOut, StageRow
from tests.analysis.rows import FREEHAND, JIG, row

WORD = {"stage_id": WHOLE, "method": None}


def whole(batch: int, minutes: float, pieces: int = 5, **other: object) -> StageRow:
    return row(batch, minutes, pieces, **(WORD | other))  # type: ignore[arg-type]  # fields by their names


def test_learning_dates_and_run_chart_work_on_the_whole_piece() -> None:
    trend = whole_piece([whole(n, 200 * (5 * n) ** -0.2) for n in range(1, 10)])
    assert trend.main is not None
    fit = learning(trend.main.lots)
    assert isinstance(fit, Learning)
    assert fit.verdict is Verdict.FASTER
    assert isinstance(by_date(trend.main.lots), Drift)
    assert isinstance(batch_after_batch(trend.main.lots), BatchAfterBatch)


def test_what_was_made_before_timing_moves_the_count_of_the_whole_piece() -> None:
    trend = whole_piece([whole(1, 200), whole(2, 190)], {(WHOLE, 0, False): 40})
    assert [(lot.first_piece, lot.last_piece) for lot in trend.lots] == [(41, 45), (46, 50)]


def test_batches_with_steps_not_timed_and_without_a_finished_piece_are_counted_with_the_reason() -> None:
    trend = whole_piece([whole(1, 200), whole(2, 90, untimed=True), whole(3, 0, 0)])
    assert trend.left_out == ((LeftOut.NOT_TIMED, 1), (LeftOut.NONE_FINISHED, 1))
    assert trend.batches_left_out == 2
    assert [lot.batch_id for lot in trend.lots] == [1, 2]


def shop(stages: dict[int, list[float]], **other: object) -> list[StageRow]:
    """Rows of some stages, batch after batch."""
    return [
        row(n, minutes, **({"stage_id": stage} | other))  # type: ignore[arg-type]  # fields by their names
        for stage, own in stages.items()
        for n, minutes in enumerate(own, 1)
    ]


def test_stages_come_by_what_is_to_be_won_and_those_without_enough_batches_last() -> None:
    rows = shop({1: [10, 10, 9, 10, 10], 2: [40, 30, 40, 40, 40], 3: [99, 50, 70]})
    table = stages_table(rows, [])
    assert [line.stage_id for line in table] == [2, 1, 3]
    assert [line.to_win_min for line in table] == [pytest.approx(10), pytest.approx(1), None]
    assert all(isinstance(line.change, NoAnswer) for line in table[2:])


def test_an_easier_pattern_is_no_better_batch() -> None:
    rows = shop({1: [40, 40, 38, 40, 40]}) + [row(n, 10, stage_id=1, pattern_id=2) for n in (11, 12, 13)]
    (line,) = stages_table(rows, [])
    assert line.pattern_id == 1
    assert line.to_win_min == pytest.approx(2)


def test_without_four_batches_of_one_pattern_nothing_is_said_to_be_won() -> None:
    rows = [row(n, 10 + n, stage_id=1, pattern_id=n % 3 + 1) for n in range(1, 9)]
    (line,) = stages_table(rows, [])
    assert (line.pattern_id, line.best, line.to_win_min) == (None, None, None)
    assert line.usual.n == 8


def test_batches_of_one_or_two_are_no_best() -> None:
    rows = [row(n, 20 - n, 2, stage_id=1) for n in range(1, 6)]
    assert [line.to_win_min for line in stages_table(rows, [])] == [None]


def test_shares_of_a_pieces_time_add_up_to_one_whatever_the_method() -> None:
    rows = shop({1: [10] * 5, 2: [30] * 5}) + [
        row(n, 20, stage_id=3, method=JIG if n % 2 else FREEHAND) for n in range(1, 6)
    ]
    shares = time_shares(rows, [whole(n, 60) for n in range(1, 6)])
    assert shares == pytest.approx({1: 1 / 6, 2: 1 / 2, 3: 1 / 3})


def test_no_share_is_said_under_four_whole_batches() -> None:
    rows = shop({1: [10] * 5})
    assert time_shares(rows, [whole(n, 60, untimed=n > 3) for n in range(1, 6)]) == {}
    assert stages_table(rows, [])[0].share is None


def test_a_shop_without_batches_has_an_empty_table() -> None:
    assert stages_table([], []) == ()
    assert whole_piece([]).main is None


@pytest.mark.parametrize(
    ("rate", "said", "verdict"),
    [(0.87, "13 % quicker (", "getting faster"), (1.1, "9 % slower (", "getting slower"), (1.0, "no clear change", "")],
)
def test_the_table_says_the_change_with_the_same_figures_as_the_sentence(rate: float, said: str, verdict: str) -> None:
    wobble = (1.04, 0.96, 0.97, 1.03) * 3
    trend = whole_piece([whole(n, 100 * (5 * n - 2) ** math.log2(rate) * wobble[n - 1]) for n in range(1, 13)])
    assert trend.main is not None
    fit = learning(trend.main.lots)
    short = change_text(fit)
    assert short.startswith(said)
    if verdict:
        assert learning_text(fit) == f"{verdict}: {short.replace(' (', ' each time the count doubles (')}"


def test_too_few_batches_say_so_in_the_table_too() -> None:
    assert change_text(stages_table(shop({1: [9, 8, 7]}), [])[0].change) == "not enough batches yet (3 of 5)"
