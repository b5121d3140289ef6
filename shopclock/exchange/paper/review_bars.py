"""Bars of minutes by stage on paper, told apart by their fillings."""

from collections.abc import Sequence

from shopclock.exchange.paper.draft import Draft
from shopclock.exchange.paper.page import Fill
from shopclock.exchange.paper.review_facts import Bar
from shopclock.exchange.paper.widths import width_mm

NAME_MM, NUMBER_MM, PACE_MM = 44.0, 13.0, 15.0
LEAST_ROW_MM = 3.2
SIZE_MM = 3.2
KEY_MM = 7.0
Key = Sequence[tuple[Fill | None, str]]


def legend(draft: Draft, keys: Key) -> None:
    """What the fillings mean, side by side, on more lines where one is too short."""
    x, high = draft.left_mm, 4.6
    for fill, said in keys:
        wide = KEY_MM + 1.0 + width_mm(said, SIZE_MM) + 5.0
        if x > draft.left_mm and x + wide > draft.right_mm:
            x, draft.y_mm = draft.left_mm, draft.y_mm + high
        _key(draft, x, high, fill)
        draft.text((x + KEY_MM + 1.0, draft.y_mm, min(wide, draft.right_mm - x) - KEY_MM - 1.0, high), said, SIZE_MM)
        x += wide
    draft.y_mm += high + 1.5


def _key(draft: Draft, x: float, high: float, fill: Fill | None) -> None:
    if fill is None:
        _range(draft, x, x + KEY_MM, draft.y_mm + high / 2)
    else:
        draft.box((x, draft.y_mm + 0.8, KEY_MM, high - 1.6), fill)


def bars(draft: Draft, rows: Sequence[Bar], room_mm: float, most_mm: float) -> None:
    """The stages under each other within a room; those that find none are counted."""
    n = min(len(rows), int(room_mm / LEAST_ROW_MM))
    left = 0.0
    if n < len(rows):
        n, left = n - 1, LEAST_ROW_MM
    high = min(most_mm, (room_mm - left) / max(1, n))
    longest = max(max(sum(us for _, us in row.parts), row.high or 0.0) for row in rows)
    for row in rows[:n]:
        _bar(draft, row, high, longest)
    if n < len(rows):
        draft.text((draft.left_mm, draft.y_mm, draft.width_mm, LEAST_ROW_MM), _left_out(len(rows) - n), SIZE_MM)
        draft.y_mm += LEAST_ROW_MM


def _left_out(n: int) -> str:
    return f"{n} more are in the spreadsheet."


def _bar(draft: Draft, row: Bar, high: float, longest: float) -> None:
    x = draft.left_mm + NAME_MM
    wide = draft.width_mm - NAME_MM - NUMBER_MM - PACE_MM
    draft.text((draft.left_mm, draft.y_mm, NAME_MM - 2.0, high), row.name, SIZE_MM)
    at, top, thick = x, draft.y_mm + high * 0.16, high * 0.56
    for fill, minutes in row.parts:
        part = wide * minutes / longest if longest else 0.0
        draft.box((at, top, part, thick), fill)
        at += part
    if row.low is not None and row.high is not None and longest:
        _range(draft, x + wide * row.low / longest, x + wide * row.high / longest, draft.y_mm + high * 0.87)
    draft.text((x + wide + 1.0, draft.y_mm, NUMBER_MM - 2.0, high), row.number, SIZE_MM, bold=True, across=1.0)
    draft.text((draft.right_mm - PACE_MM + 1.0, draft.y_mm, PACE_MM - 1.0, high), row.pace, SIZE_MM)
    draft.y_mm += high


def _range(draft: Draft, x: float, to_x: float, y: float) -> None:
    """A line with ends: from where to where it usually lies."""
    draft.line(x, y, to_x, y, 0.3)
    for end in (x, to_x):
        draft.line(end, y - 0.5, end, y + 0.5, 0.3)
