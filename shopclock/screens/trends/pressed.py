"""What the line under a chart says: the mark that was pressed, else how to press one and what was left out."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from shopclock.analysis.learning.run_chart import BatchAfterBatch
from shopclock.screens.trends.shown import lot_key
from shopclock.screens.trends.state import View
from shopclock.screens.trends.texts import batch_name, date_text, pattern_name, point_text, reason_text
from shopclock.shop.figures.trend_rows import LeftOut
from shopclock.shop.state.wording import counted, word

if TYPE_CHECKING:
    from shopclock.analysis.learning.fitted import Unfit
    from shopclock.analysis.learning.lot import Lot
    from shopclock.analysis.learning.run_chart import RunPoint
    from shopclock.analysis.learning.stage_answer import MethodAnswer
    from shopclock.screens.trends.shown import Shown

WITH_MARKS = (View.COUNT, View.DATES, View.AFTER)
"""The views in which a batch can be pressed."""


def line(shown: Shown, *, drawn: bool) -> str:
    """Say what the pressed mark is; else how to press one, and what was left out and why."""
    if drawn and shown.choice.view not in WITH_MARKS:
        return ""
    chosen = chosen_lot(shown)
    if chosen is not None:
        return _told(shown, *chosen)
    return left_out(shown) or f"Press a mark to see which {word(shown.floor, 'batch').one} it is." if drawn else ""


def review(shown: Shown) -> str:
    """Offer the Review of the batch whose mark was pressed."""
    chosen = chosen_lot(shown)
    return f"Review {batch_name(shown.floor, chosen[1])}" if chosen else ""


def chosen_lot(shown: Shown) -> tuple[MethodAnswer, Lot] | None:
    """Return the lot whose mark was pressed, in a view that has marks."""
    if shown.choice.view not in WITH_MARKS:
        return None
    pairs = ((method, lot) for method in shown.answer.methods for lot in method.trend.lots)
    return next((pair for pair in pairs if lot_key(*pair) == shown.choice.key), None)


def left_out(shown: Shown) -> str:
    """Say how many batches were left out and why: 2 batches left out: not all blades through (1), …; nothing if none.

    A batch counts once for each method that it was worked by.
    """
    out: Counter[LeftOut | Unfit] = Counter()
    for method in shown.answer.methods:
        out.update(dict(method.chosen.left_out))
    out += Counter({LeftOut.NONE_FINISHED: dict(shown.answer.trend.left_out).get(LeftOut.NONE_FINISHED, 0)})
    if not out:
        return ""
    reasons = [(reason_text(shown.floor, reason), n) for reason, n in out.items()]
    why = reasons[0][0] if len(reasons) == 1 else ", ".join(f"{text} ({n})" for text, n in reasons)
    return f"{counted(shown.floor, 'batch', out.total())} left out: {why}."


def _told(shown: Shown, method: MethodAnswer, lot: Lot) -> str:
    found = shown.main.after
    dots = found.dots if shown.choice.view is View.AFTER and isinstance(found, BatchAfterBatch) else ()
    dot = next((dot for dot in dots if dot.lot == lot), None)
    if dot is not None:
        return _expected(shown, dot)
    return point_text(shown.floor, lot, shown.name(method), shown.piece) + _brought(shown, method, lot)


def _expected(shown: Shown, dot: RunPoint) -> str:
    floor, setup = shown.floor, ", set-up in it" if shown.with_setup else ""
    who = f"{batch_name(floor, dot.lot)}, {pattern_name(floor, dot.lot.pattern_id)}, {date_text(floor, dot.lot.at_us)}"
    ends = f"{dot.limits.low:.1f} to {dot.limits.high:.1f}"
    return f"{who}: {dot.minutes:.1f} {shown.a_piece}{setup}; expected {ends}."


def _brought(shown: Shown, method: MethodAnswer, lot: Lot) -> str:
    """Say where the mark stands, where that isn't what was timed: brought to another pattern, or with set-up."""
    at, pattern = shown.minutes(method, lot), shown.pattern_of(method)
    if abs(at - lot.minutes) < 0.05:
        return ""
    setup = "with set-up" if shown.with_setup and lot.setup_us else ""
    brought = f"as {pattern_name(shown.floor, pattern)}" if pattern != lot.pattern_id else ""
    how = ", ".join(part for part in (brought, setup) if part)
    return f" {how[:1].upper()}{how[1:]}: {at:.1f}."
