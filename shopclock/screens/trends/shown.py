"""A stage's answer as the maker chose to look at it: which method is meant, and which pattern all is brought to."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.factors import from_log
from shopclock.analysis.learning.fitted import lot_minutes
from shopclock.analysis.learning.learning import Verdict
from shopclock.screens.trends.texts import method_name, pattern_name, raised, stage_name
from shopclock.shop.figures.trend_rows import WHOLE
from shopclock.shop.state.wording import word

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shopclock.analysis.learning.lot import Lot
    from shopclock.analysis.learning.stage_answer import MethodAnswer, StageAnswer
    from shopclock.screens.trends.state import TrendChoice
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Word

MARKS = (("dye_text", "o", False), ("straw", "s", True), ("bronze", "t1", False), ("purple", "d", True))
"""Colour role, shape and dashes of a stage's methods: the one worked last first; then they begin again."""
MIXED_MARK = ("quiet", "x", False)


@dataclass(frozen=True)  # without slots: what was worked out once is kept beside the fields
class Shown:
    """A stage as it is shown."""

    floor: ShopFloor
    answer: StageAnswer
    choice: TrendChoice

    @cached_property
    def main(self) -> MethodAnswer:
        """The method that the sentences are about. A stage that is shown has one."""
        i = self.choice.method
        if i is not None and i < len(self.answer.methods):
            return self.answer.methods[i]
        return self.answer.main or self.answer.methods[0]

    @property
    def whole(self) -> bool:
        """Whether it is the whole piece, all stages together."""
        return self.answer.trend.stage_id == WHOLE

    @property
    def piece(self) -> Word:
        """What is counted: blades at a stage, knives as a whole."""
        return word(self.floor, "finished" if self.whole else "piece")

    @property
    def a_piece(self) -> str:
        """What minutes are counted by: min a blade."""
        return f"min a {self.piece.one}"

    @property
    def stage(self) -> str:
        """The stage's name."""
        return stage_name(self.floor, self.answer.trend.stage_id)

    def name(self, method: MethodAnswer) -> str:
        """A method's name; empty where the stage has none."""
        return method_name(self.floor, self.answer.trend, method.trend)

    @property
    def subject(self) -> str:
        """Who a sentence is about: Freehand, or the stage itself where there is no other method."""
        return raised(self.who)

    @property
    def who(self) -> str:
        """The same inside a sentence."""
        several = len([method for method in self.answer.methods if not method.trend.mixed]) > 1
        return self.name(self.main) if several and not self.main.trend.mixed else self.stage

    @property
    def patterns(self) -> tuple[int, ...]:
        """The patterns that the main method's answer has a level for."""
        return tuple(levels(self.main))

    @property
    def pattern_id(self) -> int:
        """The pattern that minutes are brought to: the chosen one, else that of the newest batch that has a level."""
        return self._pattern_of(self.main)

    def _pattern_of(self, method: MethodAnswer) -> int:
        known, chosen = levels(method), self.choice.pattern_id
        if chosen is not None and chosen in known:
            return chosen
        newest = [lot.pattern_id for lot in reversed(method.trend.lots) if lot.pattern_id in known]
        return newest[0] if newest else method.trend.lots[-1].pattern_id

    def pattern_of(self, method: MethodAnswer) -> int:
        """The pattern that a method's minutes are brought to: the main one's, unless it has levels for others alone."""
        known = levels(method)
        return self.pattern_id if self.pattern_id in known or not known else self._pattern_of(method)

    @property
    def with_setup(self) -> bool:
        """Whether set-up stands with run."""
        return self.answer.trend.with_setup

    @property
    def unit(self) -> str:
        """What the scale of minutes counts, and what it was brought to."""
        said = self.a_piece + (", set-up in it" if self.with_setup else "")
        if len(self.patterns) < 2:
            return said
        return f"{said}, all as {pattern_name(self.floor, self.pattern_id)}"

    def minutes(self, method: MethodAnswer, lot: Lot) -> float:
        """Return minutes per piece of a lot, brought to the pattern that is shown.

        By the method's own levels; where it has none for these patterns by those of the main one.
        """
        raw, target = lot_minutes(lot, with_setup=self.with_setup), self.pattern_of(method)
        for known in (levels(method), levels(self.main)):
            if lot.pattern_id in known and target in known:
                return raw * from_log(known[target] - known[lot.pattern_id])
        return raw

    def mark(self, method: MethodAnswer) -> tuple[str, str, bool]:
        """Colour role, shape and dashes of a method: the one worked last has dye blue."""
        if method.trend.mixed:
            return MIXED_MARK
        named = [m for m in self.answer.methods if not m.trend.mixed]
        named.sort(key=lambda m: m is not self.answer.main)
        return MARKS[named.index(method) % len(MARKS)]


def levels(method: MethodAnswer) -> Mapping[int, float]:
    """Return ln minutes by pattern: where its curve begins, or its mean where it is flat; nothing without an answer."""
    if isinstance(method.fit, NoAnswer) or isinstance(method.level, NoAnswer):
        return {}
    if method.fit.verdict is Verdict.NO_CHANGE:
        return method.level.means
    return {pattern: method.fit.line.levels[pattern].at for pattern in method.fit.fitted.patterns}


def used(method: MethodAnswer) -> frozenset[int]:
    """Return the batches that go into a fit, whether there are enough of them or not."""
    return frozenset(lot.batch_id for lot in method.chosen.lots)


def lot_key(method: MethodAnswer, lot: Lot) -> str:
    """Name a mark: batch, method, and whether it is mixed."""
    return f"{lot.batch_id}:{method.trend.method_id or 0}:{int(method.trend.mixed)}"
