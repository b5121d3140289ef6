"""The figures as a short table for a terminal."""

import unicodedata
from collections.abc import Iterable, Sequence
from decimal import Decimal

from shopclock.exchange.workbook.cells import minutes
from shopclock.exchange.workbook.safe_text import clean
from shopclock.exchange.workbook.sheets import BatchLine
from shopclock.shop.figures.batch_figures import StageFigures
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import counted, minutes_text, rounded_parts, shop_time, zone_of
from shopclock.shop.values.names import LONGEST

WIDEST = LONGEST
NOTE = "Minutes. Run, set-up and rework: each piece that passed. Per finished: everything spent over the finished."


def batches_text(floor: ShopFloor, lines: Iterable[tuple[BatchLine, ShopFloor]]) -> str:
    """Return a line for each batch: what a finished piece took, and what that rests on."""
    zone = zone_of(floor)
    rows = [("Batch", "Pattern", "Started", "Pieces", "Finished", "In work", "Min per finished", "")]
    rows += [
        (
            line.figures.batch.name,
            line.row.pattern,
            f"{shop_time(line.figures.batch.started_us, zone):%Y-%m-%d}",
            str(line.figures.started),
            str(line.figures.finished - line.figures.in_work),
            str(line.figures.in_work or ""),
            minutes_text(line.figures.whole.per_finished_min),
            _rests_on(line),
        )
        for line, _ in lines
    ]
    return table_text(rows, right={3, 4, 5, 6})


def batch_text(floor: ShopFloor, line: BatchLine) -> str:
    """Return a batch stage by stage, in minutes; what adds up to the whole is rounded so that it does."""
    rows: list[tuple[str, ...]] = [("Stage", "Passed", "Run", "Set-up", "Rework", "Per finished", "Spent")]
    stages = line.figures.stages
    per_finished = _column([stage.per_finished_min for stage in stages])
    spent = _column([minutes(stage.all_us) for stage in stages])
    names = (*(name for name, _ in line.stages), "Whole")
    passed = [*(_passed(stage) for stage in stages), ("", "", "", "")]
    rows += [(name, *own, *sums) for name, own, *sums in zip(names, passed, per_finished, spent, strict=True)]
    return f"{_head(floor, line)}\n\n{table_text(rows, right={1, 2, 3, 4, 5, 6})}"


def _passed(stage: StageFigures) -> tuple[str, ...]:
    parts = (stage.per_piece_min, stage.setup_per_piece_min, stage.rework_per_piece_min)
    return (str(stage.passed), *(minutes_text(part) for part in parts))


def _column(values: Sequence[float | None]) -> list[str]:
    """Round the parts of a whole and put the whole under them; dashes where there is no quotient."""
    known = [value for value in values if value is not None]
    if len(known) < len(values):
        return [minutes_text(None)] * (len(values) + 1)
    parts = rounded_parts(known)
    return [str(part) for part in (*parts, sum(parts, Decimal("0.0")))]


def _head(floor: ShopFloor, line: BatchLine) -> str:
    found = line.figures
    parts = [f"{counted(floor, 'piece', found.started)}, {found.finished - found.in_work} finished"]
    if found.in_work:
        parts.append(f"{found.in_work} in work")
    if found.seconds:
        parts.append(f"{found.seconds} of them second")
    parts.append(_rests_on(line))
    said = ", ".join(part for part in parts if part)
    return f"{_short(found.batch.name)}  {_short(line.row.pattern)}: {said}\n{NOTE}"


def _rests_on(line: BatchLine) -> str:
    said = ("so far" if line.figures.so_far else "", "at least" if line.figures.at_least else "")
    return ", ".join(part for part in said if part)


def table_text(rows: Sequence[tuple[str, ...]], right: set[int]) -> str:
    """Set rows in columns as wide as their widest field."""
    fields = [[_short(field) for field in row] for row in rows]
    widths = [max(_width(row[i]) for row in fields) for i in range(len(fields[0]))]
    lines = ("  ".join(_pad(row[i], widths[i], to_right=i in right) for i in range(len(row))) for row in fields)
    return "\n".join(line.rstrip() for line in lines)


def _short(text: str) -> str:
    """Return text on one line and no wider than a column may be."""
    line = " ".join(clean(text).split())
    return line if len(line) <= WIDEST else f"{line[: WIDEST - 1]}…"


def _width(text: str) -> int:
    """Return how many places a text takes on a terminal, as far as Unicode says."""
    narrow = sum(unicodedata.combining(c) == 0 for c in text)
    return narrow + sum(unicodedata.east_asian_width(c) in "WF" for c in text)


def _pad(text: str, width: int, *, to_right: bool) -> str:
    fill = " " * (width - _width(text))
    return fill + text if to_right else text + fill
