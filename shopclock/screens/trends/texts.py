"""Names and small sentences of Trends, in the shop's own words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.learning.fitted import Unfit
from shopclock.shop.figures.trend_rows import WHOLE, LeftOut
from shopclock.shop.state.wording import day_text, minutes_text, range_text, shop_time, word, zone_of
from shopclock.shop.values.entities import Batch, Method, Pattern, Stage

if TYPE_CHECKING:
    from shopclock.analysis.learning.answer import Range
    from shopclock.analysis.learning.lot import Lot
    from shopclock.analysis.learning.stage_trend import MethodTrend, StageTrend
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
        Unfit.ONLY_ONE: "the only one of its pattern",
        Unfit.OTHER_PATTERN: "not a pattern of both methods",
    }[reason]


def method_name(floor: ShopFloor, trend: StageTrend, method: MethodTrend) -> str:
    """Name a series; empty where a stage has no methods at all."""
    if method.mixed:
        return SEVERAL
    if method.method_id is not None:
        return floor.get(Method, method.method_id).name
    return UNNAMED if any(m.method_id is not None for m in trend.methods) else ""


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


def ends_text(ends: Range) -> str:
    """Say a range of minutes that is a forecast: 12 to 17; with a digit under ten."""
    digits = 0 if ends.low >= NO_DIGITS else 1
    return " to ".join(dict.fromkeys(f"{end:.{digits}f}" for end in (ends.low, ends.high)))


def about(minutes: float, ends: Range) -> str:
    """Say minutes with as many digits as their range: 14."""
    return f"{minutes:.{0 if ends.low >= NO_DIGITS else 1}f}"


def within(ends: Range) -> str:
    """Say a range in brackets; nothing where both ends read the same."""
    said = ends_text(ends)
    return f" ({said})" if " to " in said else ""


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


def month_text(floor: ShopFloor, at_us: int) -> str:
    """Say a month: Mar 2026."""
    return date_text(floor, at_us).split(" ", 1)[1]


def point_text(floor: ShopFloor, lot: Lot, name: str, piece: Word) -> str:
    """Say which batch a mark is: name, pattern, minutes, pieces, method, date, and why it was left out."""
    many = piece.one if lot.pieces == 1 else piece.many
    said = f"{minutes_text(lot.minutes)} min a {piece.one}, {lot.pieces} {many}"
    parts = [said, *([name] if name else []), date_text(floor, lot.at_us)]
    out = f" Left out: {reason_text(floor, lot.left_out)}." if lot.left_out is not None else ""
    return f"{batch_name(floor, lot)}, {pattern_name(floor, lot.pattern_id)}: {', '.join(parts)}.{out}"
