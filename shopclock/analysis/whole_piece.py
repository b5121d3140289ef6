"""How the whole piece went from batch to batch, all stages together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.frame import NOTHING, Series
from shopclock.analysis.stage_trend import StageTrend, stage_trend
from shopclock.shop.stage_rows import WHOLE

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shopclock.shop.stage_rows import StageRow


def whole_piece(rows: Sequence[StageRow], made_before: Mapping[Series, int] = NOTHING) -> StageTrend:
    """Return how the whole piece went, as a stage with one method: `rows` are those of whole batches.

    Minutes per piece are the run minutes of the finished pieces (seconds too) over all stages, each; set-up and rework
    stand beside, what the lost ones took is in neither. A batch enters once no piece of it is in work. Left out, and
    counted, are batches with steps that were not timed, and those of which nothing finished: they have no lot.
    """
    return stage_trend(rows, WHOLE, made_before)
