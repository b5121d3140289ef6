"""The numbers of a stage as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.learning.fitted import Unfit, lot_minutes
from shopclock.analysis.learning.learning import Learning
from shopclock.screens.trends.shown import used
from shopclock.screens.trends.state import Table, TableColumn, TableRow
from shopclock.screens.trends.texts import batch_name, date_text, pattern_name, reason_text
from shopclock.shop.state.wording import MINUTE_US, minutes_text, word

if TYPE_CHECKING:
    from shopclock.analysis.learning.lot import Lot
    from shopclock.analysis.learning.stage_answer import MethodAnswer
    from shopclock.screens.trends.shown import Shown

Cells = tuple[tuple[TableColumn, str], ...]
"""One row: each column with its text."""


def full_table(shown: Shown) -> Table:
    """Return all there is to say of each batch at a stage, newest first."""
    pairs = [(lot, method) for method in shown.answer.methods for lot in method.trend.lots]
    pairs.sort(key=lambda pair: -pair[0].number)
    lines = [(_full(shown, method, lot), lot, method) for lot, method in pairs]
    columns = tuple(column for column, _ in lines[0][0]) if lines else ()
    rows = tuple(
        TableRow(tuple(text for _, text in line), shown.mark(method)[0], quiet=lot.batch_id not in used(method))
        for line, lot, method in lines
    )
    return Table(columns, rows)


def _full(shown: Shown, method: MethodAnswer, lot: Lot) -> Cells:
    floor = shown.floor
    named = (TableColumn("Method", marked=True), shown.name(method))
    has_methods = any(m.trend.method_id is not None for m in shown.answer.methods)
    with_setup = (TableColumn("With set-up", figures=True), minutes_text(lot_minutes(lot, with_setup=True)))
    return (
        (TableColumn(word(floor, "batch").one.capitalize()), batch_name(floor, lot)),
        (TableColumn("Pattern"), pattern_name(floor, lot.pattern_id)),
        (TableColumn("Date"), date_text(floor, lot.at_us)),
        *([named] if has_methods else []),
        (TableColumn(shown.piece.many.capitalize(), figures=True), str(lot.pieces)),
        (TableColumn("Count", figures=True), count_text(lot)),
        (TableColumn(shown.a_piece.capitalize(), figures=True), minutes_text(lot.minutes)),
        *([with_setup] if shown.with_setup else []),
        (TableColumn("Expected", figures=True), minutes_text(_expected(method, lot))),
        (TableColumn("Set-up", figures=True), _or_dash(lot.setup_us)),
        (TableColumn("Rework", figures=True), _or_dash(lot.rework_us)),
        (TableColumn("Left out"), _why_left_out(shown, method, lot)),
    )


def _expected(method: MethodAnswer, lot: Lot) -> float | None:
    points = method.fit.points if isinstance(method.fit, Learning) else ()
    return next((point.expected for point in points if point.lot.batch_id == lot.batch_id), None)


def _why_left_out(shown: Shown, method: MethodAnswer, lot: Lot) -> str:
    if lot.left_out is not None:
        return reason_text(shown.floor, lot.left_out)
    if lot.batch_id in used(method):
        return ""
    return reason_text(shown.floor, Unfit.ONLY_ONE if lot.minutes > 0 else Unfit.NO_TIME)


def count_text(lot: Lot) -> str:
    """Say F to L: 31 to 37."""
    return f"{lot.first_piece} to {lot.last_piece}" if lot.pieces > 1 else str(lot.last_piece)


def _or_dash(length_us: int) -> str:
    """Say minutes; where none was pressed they are inside the run, not 0."""
    return minutes_text(length_us / MINUTE_US if length_us else None)
