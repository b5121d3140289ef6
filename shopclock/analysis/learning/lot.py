"""A batch at a stage by one method: the dot of every chart of Trends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shopclock.shop.figures.trend_rows import LeftOut


@dataclass(frozen=True, slots=True)
class Lot:
    """A batch at a stage by one method: F…L in the maker's count, minutes per piece, and whether it counts.

    `number` is the batch's place among those that began at the stage, `at_us` the middle of its labour.
    """

    batch_id: int
    pattern_id: int
    number: int
    at_us: int
    pieces: int
    first_piece: int
    last_piece: int
    minutes: float
    setup_us: int
    rework_us: int
    left_out: LeftOut | None
