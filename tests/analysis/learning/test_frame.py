"""The frame of all rows, held to what it says row by row."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.learning.frame import NO_METHOD, row_frame
from shopclock.shop.figures.trend_rows import TrendRow, left_out

ROOT = Path(__file__).parents[3]
SMALL = st.integers(1, 3)
ROWS = st.lists(
    st.builds(
        TrendRow,
        batch_id=st.integers(1, 6), pattern_id=SMALL, stage_id=SMALL, method_id=st.none() | SMALL,
        mixed=st.booleans(), complete=st.booleans(), pieces=st.integers(0, 4), run_us=st.integers(1, 10**10),
        setup_us=st.just(0), rework_us=st.just(0), estimated_us=st.integers(0, 10**10), shared_us=st.integers(0, 1),
        first_us=st.integers(0, 20), middle_us=st.integers(0, 20), untimed=st.booleans(),
    ),
    max_size=25,
)  # fmt: skip


@given(ROWS)
def test_each_row_says_the_same_as_by_itself(rows: list[TrendRow]) -> None:
    frame = row_frame(rows)
    ordered = sorted(rows, key=lambda r: (r.stage_id, r.first_us, r.batch_id, r.method_id or NO_METHOD))
    assert list(frame["stage_id"]) == [r.stage_id for r in ordered]
    found = sorted(zip(frame["first_us"], frame["batch_id"], frame["minutes"], frame["left_out"], strict=True))
    assert found == sorted((r.first_us, r.batch_id, r.per_piece_min, left_out(r) or "") for r in rows)


@given(ROWS)
def test_batches_are_numbered_and_pieces_counted_in_the_order_of_first_starts(rows: list[TrendRow]) -> None:
    frame = row_frame(rows, {(1, NO_METHOD, False): 40})
    numbers: dict[int, dict[int, int]] = {}
    made: Counter[tuple[int, int, bool]] = Counter({(1, NO_METHOD, False): 40})
    for line in frame.to_dict("records"):
        stage = numbers.setdefault(line["stage_id"], {})
        assert line["number"] == stage.setdefault(line["batch_id"], len(stage) + 1)
        series = (line["stage_id"], line["method_id"], line["mixed"])
        assert line["first_piece"] == made[series] + 1
        made[series] += line["pieces"]
        assert line["last_piece"] == made[series]


def test_without_rows_there_is_an_empty_frame_with_all_columns() -> None:
    frame = row_frame([])
    assert len(frame) == 0
    assert {"minutes", "left_out", "number", "first_piece", "last_piece"} <= set(frame.columns)


def test_a_forecast_of_ten_batches_is_answered_without_pandas_and_scipy() -> None:
    """Their imports are half a second and 60 MB, which whoever asks for a promise would wait for and keep."""
    script = (
        "import sys; from tests.analysis.forecasts import history, job; "
        "from shopclock.analysis.forecast.forecast import forecast; "
        "from shopclock.analysis.forecast.stage_forecast import ShopEstimates; "
        "forecast(ShopEstimates(history(*[(10.0, 30.0)] * 10)), job(), 100); "
        "sys.exit(bool({'pandas', 'scipy'} & set(sys.modules)))"
    )
    assert subprocess.run([sys.executable, "-c", script], check=False, cwd=ROOT).returncode == 0
