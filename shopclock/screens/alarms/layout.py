"""Layout of an alarm: plain Python, so that a test can compute that nothing is cut or overlaps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.screens.bench.layout import WEIGHTS, share_row
from shopclock.views.fit import LINE_HEIGHT
from shopclock.views.rect import Rect

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.views.metrics import Sizes

PLATE_SHARE = 0.34
"""The part of the height that the sentence would like."""
FEW, NARROW, WIDE = 4, 1.6, 2.2
"""Up to four answers are at least so many touch targets wide, more are wider: rather fewer steps, but to be read.
In one row the first of a few, what is to be done, is as wide as all others, or wider."""


@dataclass(frozen=True, slots=True)
class AlarmLayout:
    """All places of an alarm, in its own pixels; answers and times that had no room are left out."""

    plate: Rect
    answers: tuple[Rect, ...]
    heading: Rect | None
    times: tuple[Rect, ...]
    bottom: tuple[Rect, ...]


def alarm_layout(
    area: Rect, sizes: Sizes, answers: int, times: int, heading: bool, bottom: Sequence[str]
) -> AlarmLayout:
    """Return the places of so many answers and times; the sentence takes what they leave."""
    gap, touch = sizes.gap, sizes.touch
    low = Rect(area.x, area.bottom - touch, area.w, touch)
    row = share_row(low, [WEIGHTS[key] for key in bottom], gap, touch) if bottom else ()
    room = Rect(area.x, area.y, area.w, area.h - (touch + gap if bottom else 0))
    head = round(sizes.body_text * LINE_HEIGHT) + gap // 2 if heading and times else 0
    rows = max(1, int((room.h - _least_plate(sizes) - head) // (touch + gap)))
    time_rows = _rows(times, _across(area.w, touch, gap), rows - 1 if answers else rows)
    wide = round(touch * (NARROW if answers <= FEW else WIDE))
    answer_rows = _rows(answers, _across(area.w, wide, gap), rows - time_rows)
    high = _button_high(room, sizes, answer_rows + time_rows, head)
    used = (answer_rows + time_rows) * (high + gap) + head
    plate = Rect(room.x, room.y, room.w, room.h - used)
    top = plate.bottom + gap
    line = Rect(room.x, top, room.w, high)
    if answer_rows == 1 and 2 <= answers <= FEW:
        placed = share_row(line, [max(1.6, answers - 1.0), *[1.0] * (answers - 1)], gap, wide)
    else:
        placed = _grid(line, answers, answer_rows, wide, gap)
    top += answer_rows * (high + gap)
    head_rect = Rect(room.x, top - gap // 2, room.w, head) if head and time_rows else None
    shown = _grid(Rect(room.x, top + head, room.w, high), times, time_rows, touch, gap)
    return AlarmLayout(plate, placed, head_rect, shown, row)


def _least_plate(sizes: Sizes) -> int:
    return round(2 * sizes.body_text * LINE_HEIGHT + sizes.body_text * LINE_HEIGHT) + 2 * sizes.gap


def _button_high(room: Rect, sizes: Sizes, rows: int, head: int) -> int:
    """Buttons are a touch target high, or higher where the sentence has more than it likes."""
    if not rows:
        return sizes.touch
    spare = room.h * (1 - PLATE_SHARE) - head
    return max(sizes.touch, min(round(spare / rows) - sizes.gap, round(sizes.touch * 1.5)))


def _across(wide: int, least: int, gap: int) -> int:
    return max(1, (wide + gap) // (least + gap))


def _rows(n: int, across: int, most: int) -> int:
    return min(max(0, most), -(-n // across))


def _grid(first: Rect, n: int, rows: int, least: int, gap: int) -> tuple[Rect, ...]:
    """Share out n places over rows of the same height, as evenly as they go."""
    if not rows:
        return ()
    shown = min(n, rows * _across(first.w, least, gap))
    each = -(-shown // rows)
    found: list[Rect] = []
    for number in range(rows):
        count = min(each, shown - len(found))
        line = Rect(first.x, first.y + number * (first.h + gap), first.w, first.h)
        if count > 0:
            found += share_row(line, [1.0] * each, gap, 0)[:count]
    return tuple(found)
