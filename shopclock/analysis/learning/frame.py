"""The rows of all stages as one table, which every analysis reads."""

from __future__ import annotations

from dataclasses import fields
from operator import attrgetter
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from shopclock.shop.figures.trend_rows import LeftOut, TrendRow

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    import numpy.typing as npt
    import pandas as pd

    Column = npt.NDArray[Any]

NO_METHOD = 0
"""Stands for "no method named" in a frame, where a number is needed; methods count from 1."""

Series = tuple[int, int, bool]
"""Key of pieces that are counted together: stage, method (NO_METHOD for none), mixed."""

NOTHING: Mapping[Series, int] = MappingProxyType({})


def row_columns(rows: Iterable[TrendRow], made_before: Mapping[Series, int] = NOTHING) -> dict[str, Column]:
    """Return the columns of one line for each row, by stage, in the order in which the batches began there.

    They are those of TrendRow (microseconds, instants UTC; `method_id` is NO_METHOD where no method was named) and:

    - `minutes`: run minutes per passed piece;
    - `left_out`: why it doesn't count, a value of LeftOut; empty when it counts;
    - `number`: 1 for the first batch that began at the stage, 2 for the next; the rows of one batch share it;
    - `first_piece`, `last_piece`: F and L, the piece numbers in the maker's count of that stage and method over all
      patterns. What is left out counts as made. `made_before`: made before the first row, by series.

    A mixed piece belongs to no method: mixed rows have a count of their own. Plans and forecasts read these columns as
    they are: they answer without pandas.
    """
    import numpy as np

    values = list(map(_values, rows))
    columns = zip(*values, strict=True) if values else ((),) * len(_NAMES)
    table = {name: _numbers(column) for name, column in zip(_NAMES, columns, strict=True)}
    order = np.lexsort([table[name] for name in ("method_id", "batch_id", "first_us", "stage_id")])
    table = {name: column[order] for name, column in table.items()}
    table |= {name: table[name].astype(bool) for name in _YES_NO}
    table["minutes"] = np.where(table["pieces"] > 0, table["run_us"] / np.maximum(table["pieces"], 1) / 60e6, 0.0)
    table["left_out"] = _left_out(table)
    table["number"] = _numbered(table)
    table["last_piece"] = _counted(table, made_before)
    table["first_piece"] = table["last_piece"] - table["pieces"] + 1
    return table


def row_frame(rows: Iterable[TrendRow], made_before: Mapping[Series, int] = NOTHING) -> pd.DataFrame:
    """Return the same as a frame."""
    import pandas as pd

    return pd.DataFrame(row_columns(rows, made_before))


_NAMES = tuple(field.name for field in fields(TrendRow))
_values = attrgetter(*_NAMES)
_YES_NO = ("mixed", "complete", "untimed", "from_notes")


def _numbers(column: Sequence[int | None]) -> Column:
    """Return a column as whole numbers; NO_METHOD where there is none."""
    import numpy as np

    return np.array([value or NO_METHOD for value in column] if None in column else column, dtype=np.int64)


def _left_out(table: Mapping[str, Column]) -> Column:
    """Return why each row doesn't count: `shop.figures.trend_rows.left_out` for all at once, its rules in its order."""
    import numpy as np

    rules = {
        LeftOut.MIXED: table["mixed"],
        LeftOut.UNDER_WAY: ~table["complete"],
        LeftOut.NONE_FINISHED: table["pieces"] == 0,
        LeftOut.NOT_TIMED: table["untimed"],
        LeftOut.GUESSED: 5 * table["estimated_us"] > table["run_us"],
        LeftOut.SHARED: table["shared_us"] > 0,
    }
    found = np.full(len(table["pieces"]), "", dtype=object)
    for reason, rows in reversed(rules.items()):
        found[rows] = str(reason)
    return found


def _numbered(table: Mapping[str, Column]) -> Column:
    """Number the batches of each stage by their first start there; the rows are in that order."""
    import numpy as np

    stages, batches = _coded(table, "stage_id"), _coded(table, "stage_id", "batch_id")
    first: Column = batches[np.unique(stages, return_index=True)[1]]
    return batches - first[stages] + 1


def _counted(table: Mapping[str, Column], made_before: Mapping[Series, int]) -> Column:
    """Count pieces through the rows of each stage and method, each with what was made before."""
    import numpy as np

    codes = _coded(table, "stage_id", "method_id", "mixed")
    together = np.argsort(codes, kind="stable")
    sums = np.cumsum(table["pieces"][together])
    begins = np.flatnonzero(np.diff(codes[together], prepend=-1))
    before_it = np.repeat(sums[begins] - table["pieces"][together][begins], np.diff(begins, append=codes.size))
    counts: Column = np.empty(codes.size, np.int64)
    counts[together] = sums - before_it
    for (stage, method, mixed), before in made_before.items():
        own = (table["stage_id"] == stage) & (table["method_id"] == method) & (table["mixed"] == mixed)
        counts += np.where(own, before, 0)
    return counts


def _coded(table: Mapping[str, Column], *names: str) -> Column:
    """Give each combination of these columns a number, 0 for the one that comes first."""
    import numpy as np

    codes: Column = np.zeros(table[names[0]].size, np.int64)
    for name in names:
        kinds, own = np.unique(table[name], return_inverse=True)
        combined = codes * max(1, kinds.size) + own
        _, first, codes = np.unique(combined, return_index=True, return_inverse=True)
        codes = np.argsort(np.argsort(first))[codes]
    return codes
