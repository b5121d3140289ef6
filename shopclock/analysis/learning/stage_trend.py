"""A stage from batch to batch: its lots by method, and their place in the count of the stage."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any

from shopclock.analysis.learning.frame import NO_METHOD, NOTHING, Series, row_frame
from shopclock.shop.figures.trend_rows import LeftOut, TrendRow, Usual, usual

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    import pandas as pd


@dataclass(frozen=True, slots=True)
class Lot:
    """A batch at a stage by one method: F…L in the maker's count, minutes per piece, and whether it counts.

    `number` is the batch's place among those that began at the stage, `at_us` the middle of its labour. `from_notes`:
    a part of its work came in with old notes.
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
    from_notes: bool = False


@dataclass(frozen=True, slots=True)
class MethodTrend:
    """The lots of one method by first start, and what is usual, over all patterns.

    `method_id` is nothing where no method was named, and where pieces were worked by several (`mixed`).
    """

    method_id: int | None
    mixed: bool
    lots: tuple[Lot, ...]
    usual: Usual | None

    @property
    def counted(self) -> tuple[Lot, ...]:
        """The lots that count, by first start."""
        return tuple(lot for lot in self.lots if lot.left_out is None)

    @property
    def newest_us(self) -> int:
        """Instant of the newest lot, of those that count if there is one, in microseconds UTC."""
        return max(lot.at_us for lot in self.counted or self.lots)


@dataclass(frozen=True, slots=True)
class StageTrend:
    """A stage's methods, and how many batches were left out of the answer, by reason.

    `stage_id` is WHOLE for the whole piece.
    """

    stage_id: int
    methods: tuple[MethodTrend, ...]
    left_out: tuple[tuple[LeftOut, int], ...]

    @property
    def lots(self) -> tuple[Lot, ...]:
        """All lots, by first start."""
        return tuple(sorted((lot for m in self.methods for lot in m.lots), key=lambda lot: lot.number))

    @property
    def with_setup(self) -> bool:
        """Set-up has to stand with run: some batches of the stage pressed it, others have it inside run."""
        return setup_mixed(lot for method in self.methods for lot in method.counted)

    @property
    def main(self) -> MethodTrend | None:
        """The method worked last; one with lots that count comes before one without."""
        return max(self.methods, key=lambda m: (bool(m.counted), m.newest_us), default=None)


def stage_trend(rows: Sequence[TrendRow], stage_id: int, made_before: Mapping[Series, int] = NOTHING) -> StageTrend:
    """Return how a stage went: minutes per piece by method and batch, usual, what was left out and why.

    A lot enters once every living piece has passed the stage. Left out are lots that aren't there yet, mixed ones,
    those with more than a fifth guessed, and those done beside other work; they count as made all the same.
    """
    all_own = [row for row in rows if row.stage_id == stage_id]
    own = [row for row in all_own if row.pieces]
    frame = row_frame(own, made_before)
    kinds = sorted({(row.mixed, row.method_id or NO_METHOD) for row in own})
    methods = tuple(_method(own, frame, number or None, mixed=mixed) for mixed, number in kinds)
    out = {(lot.batch_id, lot.left_out) for method in methods for lot in method.lots if lot.left_out is not None}
    reasons = Counter(reason for _, reason in out)
    reasons[LeftOut.NONE_FINISHED] = len(all_own) - len(own)
    return StageTrend(stage_id, methods, tuple((reason, reasons[reason]) for reason in LeftOut if reasons[reason]))


def _method(rows: Sequence[TrendRow], frame: pd.DataFrame, method: int | None, *, mixed: bool) -> MethodTrend:
    part = frame[(frame["method_id"] == (method or NO_METHOD)) & (frame["mixed"] == mixed)]
    named = part.rename(columns={"middle_us": "at_us"})[[field.name for field in fields(Lot)]]
    lines: list[dict[str, Any]] = [{str(name): value for name, value in o.items()} for o in named.to_dict("records")]
    lots = tuple(Lot(**line | {"left_out": LeftOut(line["left_out"]) if line["left_out"] else None}) for line in lines)
    return MethodTrend(method, mixed, lots, None if mixed else usual(rows, rows[0].stage_id, method, None))


def setup_mixed(lots: Iterable[Lot]) -> bool:
    """Tell whether some of the lots that count pressed their set-up and others have it inside run."""
    return len({lot.setup_us > 0 for lot in lots if lot.left_out is None and lot.minutes > 0}) > 1


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
