"""Place where freehand truly passes the jig, found by walking through the count."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tests.truth.shops import FREEHAND, JIG, Shop

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.learning.stage_trend import Lot


def true_crossing(one: Shop, own: Sequence[Lot], other: Sequence[Lot]) -> float:
    """Walk through the count of freehand until it is not slower than the jig is by then; infinite beyond sight."""
    by_hand, by_jig = one.skills[FREEHAND], one.skills[JIG]
    for count in range(1, 3 * own[-1].last_piece + 1):
        lot = next((lot for lot in own if count <= lot.last_piece), None)
        beside = [j.last_piece for j in other if lot is None or j.at_us <= lot.at_us] or [other[0].last_piece]
        ahead = by_hand.levels[0] + by_hand.b * math.log(count) - by_jig.levels[0] - by_jig.b * math.log(max(beside))
        if ahead <= 0:
            return count
    return math.inf
