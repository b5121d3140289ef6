"""The days of a batch as time lines on paper: work above, waits and what was away under it."""

from shopclock.exchange.paper.draft import LEADING, Draft
from shopclock.exchange.paper.page import Fill
from shopclock.exchange.paper.review_bars import SIZE_MM, legend
from shopclock.exchange.paper.review_facts import DayLine, ReviewSheet
from shopclock.exchange.paper.widths import width_mm

DAY_MM, HOURS_MM = 24.0, 17.0
HEAD_MM, TICKS_MM = 4.0, 4.5
LEAST_ROW_MM, MOST_ROW_MM = 3.2, 6.5
LEGEND_MM = 6.1
WORK = frozenset({Fill.SOLID, Fill.CROSS})
"""The fillings of work by hand and of what somebody stayed by."""


def days_mm(sheet: ReviewSheet) -> float:
    """Return the height that the days take where they have all the room they like; 0 without any."""
    return _head_mm() + len(sheet.days) * MOST_ROW_MM + 4.0 if sheet.days else 0.0


def _head_mm() -> float:
    return HEAD_MM * LEADING + LEGEND_MM + TICKS_MM


def days(draft: Draft, sheet: ReviewSheet, room_mm: float) -> None:
    """The days under each other within a room; the first of too many are counted."""
    if not sheet.days:
        return
    fit = int((room_mm - _head_mm() - 4.0) / LEAST_ROW_MM)
    shown = sheet.days if len(sheet.days) <= fit else sheet.days[-max(1, fit - 1) :]
    draft.across("The days", HEAD_MM, bold=True)
    legend(draft, sheet.kinds)
    _ticks(draft, sheet.ticks)
    high = min(MOST_ROW_MM, (room_mm - _head_mm() - 4.0) / max(1, len(shown)))
    if len(shown) < len(sheet.days):
        said = f"{len(sheet.days) - len(shown)} earlier days are in the spreadsheet."
        draft.text((draft.left_mm, draft.y_mm, draft.width_mm, LEAST_ROW_MM), said, SIZE_MM)
        draft.y_mm, high = draft.y_mm + LEAST_ROW_MM, LEAST_ROW_MM
    for day in shown:
        _day(draft, day, sheet.ticks, high)
    draft.y_mm += 4.0


def _wide(draft: Draft) -> float:
    return draft.width_mm - DAY_MM - HOURS_MM


def _ticks(draft: Draft, ticks: tuple[tuple[float, str], ...]) -> None:
    """The hours over the lines, only as many as stand apart."""
    free = draft.left_mm + DAY_MM - 5.0
    for place, said in ticks:
        half = width_mm(said, 2.6) / 2 + 0.5
        x = draft.left_mm + DAY_MM + place * _wide(draft)
        if x - half >= free:
            draft.text((x - half, draft.y_mm, 2 * half, TICKS_MM), said, 2.6, across=0.5)
            free = x + half
    draft.y_mm += TICKS_MM


def _day(draft: Draft, day: DayLine, ticks: tuple[tuple[float, str], ...], high: float) -> None:
    x, wide = draft.left_mm + DAY_MM, _wide(draft)
    draft.text((draft.left_mm, draft.y_mm, DAY_MM - 2.0, high), day.day, SIZE_MM)
    for place, _ in ticks:
        draft.line(x + place * wide, draft.y_mm, x + place * wide, draft.y_mm + high, 0.08)
    for start, end, fill in day.spans:
        work = fill in WORK
        top, thick = (0.12, 0.46) if work else (0.64, 0.26)
        draft.box((x + start * wide, draft.y_mm + top * high, (end - start) * wide, thick * high), fill, 0.15)
    draft.text((draft.right_mm - HOURS_MM + 1.0, draft.y_mm, HOURS_MM - 1.0, high), day.hours, SIZE_MM, across=1.0)
    draft.y_mm += high
    draft.line(draft.left_mm, draft.y_mm, draft.right_mm, draft.y_mm, 0.1)
