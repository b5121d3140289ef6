"""All stages in one table: what is usual, the best, what changes, and where the most minutes are to be won."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.sentences import SURE, change_text
from shopclock.analysis.model.verdict import Verdict
from shopclock.screens.trends.shown import last_text, pattern_name, usual_text
from shopclock.screens.trends.state import StagesState, TableColumn, TableRow
from shopclock.shop.figures.trend_rows import LAST, usual_lately
from shopclock.shop.state.wording import counted, minutes_text, word
from shopclock.shop.values.entities import Batch, Method, Stage

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.learning.stages_table import StageSummary
    from shopclock.shop.figures.trend_rows import TrendRow
    from shopclock.shop.state.shop_floor import ShopFloor

Cells = tuple[tuple[TableColumn, str], ...]
"""One line: each column with its text."""


LEAST = 0.05
"""Minutes that read 0.0 are none to speak of."""


def nothing_yet(floor: ShopFloor) -> StagesState:
    """Say that there is nothing to show, and where it begins."""
    batch, stage = word(floor, "batch").one, word(floor, "stage").one
    return StagesState(f"No {batch} is through a {stage} yet. Trends begin with the first.", to_bench=True)


def first_answer(floor: ShopFloor, rows: Sequence[TrendRow], *, failed: bool) -> StagesState:
    """Return what can be said at once: what is usual at each stage, in the order of the stages."""
    many = word(floor, "stage").many
    moment = f"One moment: the {many} are being compared."
    told = f"The {many} could not be compared. The record is as it was."
    numbers = {row.stage_id for row in rows}
    looks = tuple(_at_once(floor, stage, rows) for stage in floor.all(Stage) if stage.id in numbers)
    columns = (
        TableColumn(_head(floor)),
        TableColumn("Method", marked=True),
        TableColumn("Usual", figures=True),
        TableColumn("Last", True),
    )
    return StagesState(_title(floor), told if failed else moment, columns, looks)


def compared(floor: ShopFloor, lines: Sequence[StageSummary], rows: Sequence[TrendRow]) -> StagesState:
    """Return the whole table, where the most minutes are to be won first; stages without one that counts last."""
    patterns = {line.pattern_id for line in lines if line.pattern_id is not None}
    cells = [_cells(floor, line, len(patterns) > 1) for line in lines]
    columns = tuple(column for column, _ in cells[0]) if cells else (TableColumn(_head(floor)),)
    looks = [
        TableRow(tuple(text for _, text in own), _role(line), key=str(line.stage_id), told=line is _most(lines))
        for line, own in zip(lines, cells, strict=True)
    ]
    looks += _uncounted(floor, {line.stage_id for line in lines}, rows, len(columns))
    return StagesState(_sentence(floor, lines), _more(floor, patterns), columns, tuple(looks))


def _title(floor: ShopFloor) -> str:
    return f"Minutes a {word(floor, 'piece').one}, {word(floor, 'stage').one} by {word(floor, 'stage').one}"


def _head(floor: ShopFloor) -> str:
    return word(floor, "stage").one.capitalize()


def _sentence(floor: ShopFloor, lines: Sequence[StageSummary]) -> str:
    """Say where the most minutes are to be won."""
    most = _most(lines)
    if most is None:
        return f"{_title(floor)}."
    stage, piece = floor.get(Stage, most.stage_id).name, word(floor, "piece").one
    return f"Most is to be won at {stage}: {minutes_text(most.to_win_min)} min a {piece}."


def _most(lines: Sequence[StageSummary]) -> StageSummary | None:
    """Return the stage where the most minutes are to be won; nothing where none are to speak of."""
    return lines[0] if lines and (lines[0].to_win_min or 0.0) >= LEAST else None


def _more(floor: ShopFloor, patterns: set[int]) -> str:
    batches = counted(floor, "batch", LAST)
    own = f" All of {pattern_name(floor, next(iter(patterns)))}." if len(patterns) == 1 else ""
    return f"To be won: what practice takes off in the next {batches} if it goes on so. Ranges hold {SURE}.{own}"


def _cells(floor: ShopFloor, line: StageSummary, many_patterns: bool) -> Cells:
    pattern = pattern_name(floor, line.pattern_id) if line.pattern_id is not None else "all"
    return (
        (TableColumn(_head(floor)), floor.get(Stage, line.stage_id).name),
        (TableColumn("Method"), floor.get(Method, line.method_id).name if line.method_id is not None else ""),
        *([(TableColumn("Pattern"), pattern)] if many_patterns else []),
        (TableColumn("Usual", figures=True), usual_text(line.usual).removeprefix("usual ") or last_text(line.usual)),
        (TableColumn("Best", figures=True), minutes_text(line.best.minutes if line.best else None)),
        (TableColumn("Getting faster?", marked=True), _changes(floor, line)),
        (TableColumn("Share of time", figures=True), f"{100 * line.share:.0f} %" if line.share is not None else "–"),
        (TableColumn("To be won", figures=True), minutes_text(line.to_win_min)),
    )


def _role(line: StageSummary) -> str:
    if isinstance(line.change, NoAnswer):
        return "quiet"
    return "green" if line.change.verdict.improved else "red" if line.change.verdict is Verdict.SLOWER else "quiet"


def _changes(floor: ShopFloor, line: StageSummary) -> str:
    return change_text(line.change, word(floor, "batch").many, _since(floor, line))


def _since(floor: ShopFloor, line: StageSummary) -> str:
    """Name the batch that a verdict names; a dash where an Undo took it away meanwhile."""
    number = None if isinstance(line.change, NoAnswer) else line.change.since
    batch = floor.find(Batch, number) if number is not None else None
    return batch.name if batch is not None else "–"


def _uncounted(floor: ShopFloor, known: set[int], rows: Sequence[TrendRow], columns: int) -> list[TableRow]:
    """Return the stages of which no batch counts yet."""
    numbers = {row.stage_id for row in rows} - known
    said = f"no {word(floor, 'batch').one} counts yet"
    names = [(stage.id, stage.name) for stage in floor.all(Stage) if stage.id in numbers]
    return [TableRow((name, said, *[""] * (columns - 2))[:columns], "quiet", key=str(i)) for i, name in names]


def _at_once(floor: ShopFloor, stage: Stage, rows: Sequence[TrendRow]) -> TableRow:
    method_id, found = usual_lately(rows, stage.id)
    method = floor.get(Method, method_id).name if method_id is not None else ""
    last = minutes_text(found.last_min if found else None)
    return TableRow((stage.name, method, usual_text(found).removeprefix("usual "), last), "quiet", key=str(stage.id))
