"""Figures of a chart as text with tabs, as a spreadsheet takes them from the clipboard."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.values.habits import figure
from shopclock.views.bars_picture import BarsPicture
from shopclock.views.dots_picture import DotsPicture

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from shopclock.views.bars_picture import LinesPicture


def tabbed(rows: Iterable[Sequence[str]]) -> str:
    """Return rows as lines, cells apart by tabs; what would break a row becomes a space."""
    return "".join("\t".join(" ".join(cell.split()) for cell in row) + "\n" for row in rows)


def figures_text(picture: BarsPicture | LinesPicture | DotsPicture) -> str:
    """Return the numbers that a chart draws: a row for each of its lines, under heads."""
    if isinstance(picture, DotsPicture):
        marks = sorted({dot.mark for row in picture.rows for dot in row.dots}, key=lambda mark: (len(mark), mark))
        found = [{dot.mark: figure(dot.minutes, 2) for dot in row.dots} for row in picture.rows]
        rows = [
            (row.name, row.number, *(own.get(mark, "") for mark in marks))
            for row, own in zip(picture.rows, found, strict=True)
        ]
        return tabbed([("", picture.head, *marks), *rows])
    if isinstance(picture, BarsPicture):
        return tabbed(_bars(picture))
    return tabbed([(row.name, row.number) for row in picture.rows])


def _bars(picture: BarsPicture) -> list[tuple[str, ...]]:
    """Parts by what they mean, then the number; the second bar's after them; the usual range and the word."""
    fills = [(fill, said) for fill, said in picture.legend if fill is not None]
    second = any(row.second for row in picture.rows)
    ranged = any(row.low is not None for row in picture.rows)
    worded = any(row.word for row in picture.rows)
    usual = ("usual from", "usual to") if ranged else ()
    heads = [picture.heading, *(said for _, said in fills), picture.heads[0] or "all"]
    table = [(*heads, *([picture.heads[1]] if second else ()), *usual, *([""] if worded else ()))]
    for row in picture.rows:
        parts = dict(row.parts) | dict(row.second)
        ends = tuple(figure(end, 2) if end is not None else "" for end in (row.low, row.high)) if ranged else ()
        cells = [figure(parts[fill], 2) if fill in parts else "" for fill, _ in fills]
        both = [row.number, *([row.second_number] if second else ())]
        table.append((row.name, *cells, *both, *ends, *([row.word] if worded else ())))
    return table
