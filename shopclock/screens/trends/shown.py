"""A stage's answer as the maker chose to look at it: method, pattern, minutes brought to it, and the names."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import log
from statistics import median
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.by_date import YEAR_US
from shopclock.analysis.learning.learning import Unfit, from_log, lot_minutes
from shopclock.analysis.learning.sentences import short_text
from shopclock.shop.figures.trend_rows import WHOLE, LeftOut
from shopclock.shop.state.wording import day_text, minutes_text, range_text, shop_time, word, zone_of
from shopclock.shop.values.entities import Batch, Method, Pattern, Stage
from shopclock.shop.values.habits import figure

if TYPE_CHECKING:
    from shopclock.analysis.learning.answer import Range
    from shopclock.analysis.learning.stage_answer import MethodAnswer, StageAnswer
    from shopclock.analysis.learning.stage_trend import Lot
    from shopclock.screens.trends.state import TrendChoice
    from shopclock.shop.figures.trend_rows import Usual
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Word

SEVERAL = "several methods"
UNNAMED = "no method named"
NO_DIGITS = 10
"""From so many minutes on a forecast is said without digits."""


def reason_text(floor: ShopFloor, reason: LeftOut | Unfit) -> str:
    """Say why a batch was left out."""
    pieces = word(floor, "piece")
    return {
        LeftOut.UNDER_WAY: f"not all {pieces.many} through",
        LeftOut.MIXED: f"several methods on one {pieces.one}",
        LeftOut.GUESSED: "more than a fifth guessed",
        LeftOut.SHARED: "done beside other work",
        LeftOut.NOT_TIMED: "steps that were not timed",
        LeftOut.NONE_FINISHED: f"no {word(floor, 'finished').one} came of it",
        Unfit.NO_TIME: "it took no time",
        Unfit.OTHER_PATTERN: "not a pattern of both methods",
    }[reason]


def stage_name(floor: ShopFloor, stage_id: int) -> str:
    """Name a stage, or the whole piece: the whole knife."""
    return floor.get(Stage, stage_id).name if stage_id != WHOLE else f"the whole {word(floor, 'finished').one}"


def batch_name(floor: ShopFloor, lot: Lot) -> str:
    """Name the batch of a lot; a dash where an Undo took it away while the answer was being worked out."""
    found = floor.find(Batch, lot.batch_id)
    return found.name if found is not None else "–"


def pattern_name(floor: ShopFloor, pattern_id: int) -> str:
    """Name a pattern."""
    return floor.get(Pattern, pattern_id).name


def usual_text(usual: Usual | None) -> str:
    """Say what is usual: usual 15.2 to 19.6; nothing under four batches."""
    if usual is None or usual.low_min is None or usual.high_min is None:
        return ""
    return f"usual {range_text(usual.low_min, usual.high_min)}"


def last_text(usual: Usual | None) -> str:
    """Say the last batch: last 14.6."""
    return f"last {minutes_text(usual.last_min)}" if usual is not None else ""


def about(minutes: float, ends: Range) -> str:
    """Say minutes with as many digits as their range: 14."""
    return figure(minutes, 0 if ends.low >= NO_DIGITS else 1)


def within(ends: Range) -> str:
    """Range of a forecast in minutes: (12 to 17), with a digit under ten; nothing where both ends read the same."""
    low, high = (figure(end, 0 if ends.low >= NO_DIGITS else 1) for end in (ends.low, ends.high))
    return f" ({low} to {high})" if low != high else ""


def ordinal(n: int) -> str:
    """Say which: 1st, 2nd, 3rd, 11th, 34th."""
    last = n % 10 if n % 100 not in (11, 12, 13) else 0
    return f"{n}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(last, 'th') }"


def raised(text: str) -> str:
    """Begin with a capital."""
    return text[:1].upper() + text[1:]


def date_text(floor: ShopFloor, at_us: int) -> str:
    """Say a day with its year: 12 Mar 2026."""
    day = shop_time(at_us, zone_of(floor)).date()
    return f"{day_text(day).split(' ', 1)[1]} {day.year}"


def point_text(floor: ShopFloor, lot: Lot, name: str, piece: Word) -> str:
    """Say which batch a mark is: name, pattern, minutes, pieces, method, date, and why it was left out."""
    many = piece.one if lot.pieces == 1 else piece.many
    said = f"{minutes_text(lot.minutes)} min a {piece.one}, {lot.pieces} {many}"
    noted = ["from notes"] if lot.from_notes else []
    parts = [said, *([name] if name else []), date_text(floor, lot.at_us), *noted]
    out = f" Left out: {reason_text(floor, lot.left_out)}." if lot.left_out is not None else ""
    return f"{batch_name(floor, lot)}, {pattern_name(floor, lot.pattern_id)}: {', '.join(parts)}.{out}"


@dataclass(frozen=True, slots=True)
class DatedLine:
    """A line by date: ln minutes at its first instant and how they change a year; told within its two ends alone."""

    first_us: int
    last_us: int
    log_min: float
    per_year: float

    def at(self, at_us: float) -> float:
        """Return minutes at an instant between the ends."""
        return from_log(self.log_min + self.per_year * (at_us - self.first_us) / YEAR_US)


MARKS = (("dye_text", "o", False), ("straw", "s", True), ("bronze", "t1", False), ("purple", "d", True))
"""Colour role, shape and dashes of a stage's methods, in the order in which they were made; then they begin again."""
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
    def piece(self) -> Word:
        """Word for what is counted: blades at a stage, knives as a whole."""
        return word(self.floor, "finished" if self.answer.trend.stage_id == WHOLE else "piece")

    @property
    def a_piece(self) -> str:
        """Unit of minutes per piece: min a blade."""
        return f"min a {self.piece.one}"

    @property
    def stage(self) -> str:
        """The stage's name."""
        return stage_name(self.floor, self.answer.trend.stage_id)

    def name(self, method: MethodAnswer) -> str:
        """Name of a method; empty where the stage has none at all."""
        if method.trend.mixed:
            return SEVERAL
        if method.trend.method_id is not None:
            return self.floor.get(Method, method.trend.method_id).name
        return UNNAMED if any(m.trend.method_id is not None for m in self.answer.methods) else ""

    @property
    def subject(self) -> str:
        """Subject of a sentence: Freehand, or the stage itself where there is no other method."""
        return raised(self.who)

    @property
    def who(self) -> str:
        """The same inside a sentence."""
        return self.name(self.main) if len(self.named) > 1 and not self.main.trend.mixed else self.stage

    @property
    def named(self) -> list[MethodAnswer]:
        """The methods that pieces were worked by from end to end."""
        return [method for method in self.answer.methods if not method.trend.mixed]

    @property
    def patterns(self) -> tuple[int, ...]:
        """The patterns that the main method's answer has a level for."""
        return tuple(self.main.levels)

    @property
    def pattern_id(self) -> int:
        """The pattern that minutes are brought to: the chosen one, else that of the newest batch that has a level."""
        return self._pattern_of(self.main)

    def _pattern_of(self, method: MethodAnswer) -> int:
        known, chosen = method.levels, self.choice.pattern_id
        if chosen is not None and chosen in known:
            return chosen
        newest = [lot.pattern_id for lot in reversed(method.trend.lots) if lot.pattern_id in known]
        return newest[0] if newest else method.trend.lots[-1].pattern_id

    def pattern_of(self, method: MethodAnswer) -> int:
        """The pattern that a method's minutes are brought to: the main one's, unless it has levels for others alone."""
        known = method.levels
        return self.pattern_id if self.pattern_id in known or not known else self._pattern_of(method)

    def since(self, method: MethodAnswer) -> str:
        """Name of the batch since which a method is quicker, until which it was, or on which that rests."""
        found = method.change
        number = None if isinstance(found, NoAnswer) else found.since
        lot = next((lot for lot in method.trend.lots if lot.batch_id == number), None)
        return batch_name(self.floor, lot) if lot is not None else ""

    def short(self, method: MethodAnswer) -> str:
        """Return the verdict on a method in a few words."""
        return short_text(method.change, word(self.floor, "batch").many, self.since(method))

    @property
    def with_setup(self) -> bool:
        """Set-up stands with run."""
        return self.answer.trend.with_setup

    @property
    def unit(self) -> str:
        """Unit on the scale of minutes, and the pattern that all was brought to."""
        said = self.a_piece + (", set-up in it" if self.with_setup else "")
        if len(self.patterns) < 2:
            return said
        return f"{said}, all as {pattern_name(self.floor, self.pattern_id)}"

    def minutes(self, method: MethodAnswer, lot: Lot) -> float:
        """Return minutes per piece of a lot, brought to the pattern that is shown.

        By the method's own levels; where it has none for these patterns by those of the main one.
        """
        raw, target = lot_minutes(lot, with_setup=self.with_setup), self.pattern_of(method)
        for known in (method.levels, self.main.levels):
            if lot.pattern_id in known and target in known:
                return raw * from_log(known[target] - known[lot.pattern_id])
        return raw

    def drift(self, method: MethodAnswer) -> DatedLine | None:
        """Return the line by date as it is drawn, in minutes of the pattern that is shown; nothing without one.

        It goes through the medians of what is drawn, with the slope that was tested within each pattern.
        """
        found = method.dates
        if isinstance(found, NoAnswer):
            return None
        own = used(method)
        lots = [lot for lot in method.trend.lots if lot.batch_id in own and lot.left_out is None]
        first, last = found.at_us[0], found.at_us[-1]
        years = median(lot.at_us - first for lot in lots) / YEAR_US
        middle = median(log(self.minutes(method, lot)) for lot in lots) - found.per_year * years
        return DatedLine(first, last, middle, found.per_year)

    def mark(self, method: MethodAnswer) -> tuple[str, str, bool]:
        """Colour role, shape and dashes of a method: its own for good, whichever was worked last or is shown."""
        if method.trend.mixed:
            return MIXED_MARK
        stage = self.answer.trend.stage_id
        own = sorted(one.id for one in self.floor.all(Method) if one.stage_id == stage)
        number = method.trend.method_id
        return MARKS[(own.index(number) if number in own else len(own)) % len(MARKS)]


def used(method: MethodAnswer) -> frozenset[int]:
    """Return the batches that go into a fit, whether there are enough of them or not."""
    return frozenset(lot.batch_id for lot in method.chosen.lots)


def lot_key(method: MethodAnswer, lot: Lot) -> str:
    """Name a mark: batch, method, and whether it is mixed."""
    return f"{lot.batch_id}:{method.trend.method_id or 0}:{int(method.trend.mixed)}"
