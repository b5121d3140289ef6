"""The sentences of Trends: only what is proved, with its figures in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.stage_rows import ENOUGH, LAST, LeftOut
from shopclock.shop.values import Batch, Method, Pattern, Stage
from shopclock.shop.wording import counted, day_text, minutes_text, range_text, shop_time, word, zone_of

if TYPE_CHECKING:
    from shopclock.analysis.stage_trend import Lot, MethodTrend, StageTrend
    from shopclock.shop.floor import Floor
    from shopclock.shop.stage_rows import Usual

SEVERAL = "several methods"
UNNAMED = "no method named"


def a_piece(floor: Floor) -> str:
    """Say what minutes are counted by: min a blade."""
    return f"min a {word(floor, 'piece').one}"


def reason_text(floor: Floor, reason: LeftOut) -> str:
    """Say why a batch was left out."""
    pieces = word(floor, "piece")
    return {
        LeftOut.UNDER_WAY: f"not all {pieces.many} through",
        LeftOut.MIXED: f"several methods on one {pieces.one}",
        LeftOut.GUESSED: "more than a fifth guessed",
        LeftOut.SHARED: "done beside other work",
    }[reason]


def method_name(floor: Floor, trend: StageTrend, method: MethodTrend) -> str:
    """Name a series; empty where a stage has no methods at all."""
    if method.mixed:
        return SEVERAL
    if method.method_id is not None:
        return floor.get(Method, method.method_id).name
    return UNNAMED if any(m.method_id is not None for m in trend.methods) else ""


def usual_text(usual: Usual | None) -> str:
    """Say what is usual: usual 15.2 to 19.6; nothing under four batches."""
    if usual is None or usual.low_min is None or usual.high_min is None:
        return ""
    return f"usual {range_text(usual.low_min, usual.high_min)}"


def last_text(usual: Usual | None) -> str:
    """Say the last batch: last 14.6."""
    return f"last {minutes_text(usual.last_min)}" if usual is not None else ""


def sentence(floor: Floor, trend: StageTrend) -> str:
    """Answer for the method worked last: what is usual, over how many batches, and the last."""
    stage, main = floor.get(Stage, trend.stage_id).name, trend.main
    if main is None:
        return f"{stage}: no {word(floor, 'batch').one} yet."
    name = method_name(floor, trend, main)
    named = f"{stage}, {name}" if name else stage
    if main.usual is None:
        return f"{named}: no {word(floor, 'batch').one} counts yet."
    if main.usual.n < ENOUGH:
        return f"{named}: {_not_enough(floor, main.usual)}"
    return f"{named}: {_enough(floor, main.usual)}"


def _not_enough(floor: Floor, usual: Usual) -> str:
    batches = word(floor, "batch").many
    return f"not enough {batches} yet ({usual.n} of {ENOUGH}); last {minutes_text(usual.last_min)} {a_piece(floor)}."


def _enough(floor: Floor, usual: Usual) -> str:
    batches = counted(floor, "batch", usual.n)
    over = f"the last {batches}" if usual.n == LAST else batches
    return f"{usual_text(usual)} {a_piece(floor)} over {over}; {last_text(usual)}."


def more(floor: Floor, trend: StageTrend) -> str:
    """Say the other methods in short, and how many batches were left out and why."""
    others = [m for m in trend.methods if m is not trend.main and m.usual is not None]
    parts = [_other(method_name(floor, trend, m), m.usual) for m in others if m.usual]
    return " ".join([*parts, *_left_out(floor, trend)])


def _other(name: str, usual: Usual) -> str:
    said = ", ".join(part for part in (usual_text(usual), last_text(usual)) if part)
    return f"{name[:1].upper()}{name[1:]}: {said}."


def _left_out(floor: Floor, trend: StageTrend) -> list[str]:
    if not trend.left_out:
        return []
    reasons = [(reason_text(floor, reason), n) for reason, n in trend.left_out]
    why = reasons[0][0] if len(reasons) == 1 else ", ".join(f"{text} ({n})" for text, n in reasons)
    return [f"{counted(floor, 'batch', trend.batches_left_out)} left out: {why}."]


def date_text(floor: Floor, at_us: int) -> str:
    """Say a day with its year: Thu 12 Mar 2026."""
    day = shop_time(at_us, zone_of(floor)).date()
    return f"{day_text(day)} {day.year}"


def point_text(floor: Floor, lot: Lot, name: str) -> str:
    """Say which batch a point is: name, pattern, minutes, pieces, method, date, and why it was left out."""
    batch, pattern = floor.get(Batch, lot.batch_id), floor.get(Pattern, lot.pattern_id)
    said = f"{minutes_text(lot.minutes)} {a_piece(floor)}, {counted(floor, 'piece', lot.pieces)}"
    parts = [said, *([name] if name else []), date_text(floor, lot.at_us)]
    out = f" Left out: {reason_text(floor, lot.left_out)}." if lot.left_out is not None else ""
    return f"{batch.name}, {pattern.name}: {', '.join(parts)}.{out}"
