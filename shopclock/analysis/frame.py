"""The rows of all stages as one table, which every analysis reads."""

from __future__ import annotations

from dataclasses import fields
from types import MappingProxyType
from typing import TYPE_CHECKING

from shopclock.shop.stage_rows import StageRow, left_out

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    import pandas as pd

NO_METHOD = 0
"""What stands for "no method named" in a frame, where a number is needed; methods count from 1."""

Series = tuple[int, int, bool]
"""What is counted together: stage, method (NO_METHOD for none), mixed."""

NOTHING: Mapping[Series, int] = MappingProxyType({})


def row_frame(rows: Iterable[StageRow], made_before: Mapping[Series, int] = NOTHING) -> pd.DataFrame:
    """Return one line for each row, by stage, in the order in which the batches began there.

    The columns are those of StageRow (microseconds, instants UTC; `method_id` is NO_METHOD where no method was named)
    and:

    - `minutes`: run minutes per passed piece;
    - `left_out`: why it doesn't count, a value of LeftOut; empty when it counts;
    - `number`: 1 for the first batch that began at the stage, 2 for the next; the rows of one batch share it;
    - `first_piece`, `last_piece`: F and L, the piece numbers in the maker's count of that stage and method over all
      patterns. What is left out counts as made. `made_before`: made before the first row, by series.

    A mixed piece belongs to no method: mixed rows have a count of their own.
    """
    import pandas as pd

    rows = list(rows)
    table = {field.name: [getattr(row, field.name) for row in rows] for field in fields(StageRow)}
    table["method_id"] = [row.method_id or NO_METHOD for row in rows]
    table["minutes"] = [row.per_piece_min for row in rows]
    table["left_out"] = [left_out(row) or "" for row in rows]
    frame = pd.DataFrame(table).sort_values(["stage_id", "first_us", "batch_id", "method_id"], ignore_index=True)
    return _count_pieces(_number_batches(frame), made_before)


def _number_batches(frame: pd.DataFrame) -> pd.DataFrame:
    """Number the batches of a stage by their first start there."""
    began = frame.drop_duplicates(["stage_id", "batch_id"])[["stage_id", "batch_id"]]
    began = began.assign(number=began.groupby("stage_id").cumcount() + 1)
    return frame.merge(began, on=["stage_id", "batch_id"], how="left")


def _count_pieces(frame: pd.DataFrame, made_before: Mapping[Series, int]) -> pd.DataFrame:
    """Count pieces through the rows of each stage and method."""
    columns = ["stage_id", "method_id", "mixed"]
    before = [made_before.get((stage, method, mixed), 0) for stage, method, mixed in frame[columns].to_numpy().tolist()]
    last = frame.groupby(columns)["pieces"].cumsum() + before
    return frame.assign(first_piece=last - frame["pieces"] + 1, last_piece=last)
