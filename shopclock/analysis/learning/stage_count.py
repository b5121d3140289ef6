"""The count of a stage over all its methods: where a method's own count stands in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shopclock.analysis.learning.lot import Lot
    from shopclock.analysis.learning.stage_trend import MethodTrend, StageTrend


class StageCount:
    """Pieces through a stage by any method, in the order in which the batches began there."""

    def __init__(self, trend: StageTrend) -> None:
        pairs = [(lot.number, i, lot) for i, method in enumerate(trend.methods) for lot in method.lots]
        self.made = sum(min(lot.first_piece for lot in method.lots) - 1 for method in trend.methods)
        self._before: dict[tuple[int, int], int] = {}
        for _, i, lot in sorted(pairs, key=lambda pair: pair[:2]):
            self._before[(i, lot.number)] = self.made
            self.made += lot.pieces
        self._methods = trend.methods

    def at(self, method: MethodTrend, own: float) -> float:
        """Return where a place in a method's own count stands; what is yet to be made follows all that was made."""
        i = self._methods.index(method)
        lots = method.lots
        holding = next((lot for lot in lots if own <= lot.last_piece), None)
        if holding is None:
            return self.made + own - lots[-1].last_piece
        return self._before[(i, holding.number)] + own - holding.first_piece + 1

    def last(self, method: MethodTrend, lot: Lot) -> int:
        """Return the stage's count after a lot."""
        return self._before[(self._methods.index(method), lot.number)] + lot.pieces
