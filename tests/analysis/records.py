"""Records made of lots by hand, as the verdict reads them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.learning.learning import FitInput, fit_input
from shopclock.analysis.learning.shop_record import ShopRecord, shop_record
from tests.analysis.rows import BEVELS, DAY_US, MIN_US, row

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.learning.stage_trend import Lot


def record_of(lots: Sequence[Lot], stage: int = BEVELS) -> tuple[ShopRecord, FitInput]:
    """A shop of one stage without methods whose batches are these lots, and what of them counts."""
    made_before = min((lot.first_piece for lot in lots), default=1) - 1
    rows = [
        row(
            lot.batch_id, lot.minutes, lot.pieces, method=None, stage_id=stage, pattern_id=lot.pattern_id,
            setup_us=lot.setup_us, complete=lot.left_out is None, first_us=lot.number * DAY_US,
            middle_us=lot.number * DAY_US + MIN_US,
        )
        for lot in lots
    ]  # fmt: skip
    record = shop_record(rows, {(stage, 0, False): made_before})
    return record, fit_input(lots, with_setup=stage in record.with_setup)
