"""The numbers of a stage as tables: all of them, and the few beside the chart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.trends.chart_state import marks
from shopclock.screens.trends.state import Column, Table, TableRow
from shopclock.screens.trends.words import a_piece, date_text, method_name, reason_text
from shopclock.shop.values import Batch, Pattern
from shopclock.shop.wording import MINUTE_US, minutes_text, word

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.analysis.stage_trend import Lot, MethodTrend, StageTrend
    from shopclock.shop.floor import Floor

Cells = tuple[tuple[Column, str], ...]
"""One row: each column with its text."""


def full_table(floor: Floor, trend: StageTrend) -> Table:
    """Return all there is to say of each batch at a stage."""
    return _table(trend, lambda method, lot: _full(floor, trend, method, lot))


def short_table(floor: Floor, trend: StageTrend) -> Table:
    """Return batch, method and minutes."""
    return _table(trend, lambda method, lot: _short(floor, trend, method, lot))


def _table(trend: StageTrend, cells: Callable[[MethodTrend, Lot], Cells]) -> Table:
    roles = [role for role, _, _ in marks(trend)]
    pairs = [(lot, method, role) for method, role in zip(trend.methods, roles, strict=True) for lot in method.lots]
    pairs.sort(key=lambda pair: -pair[0].number)
    lines = [(cells(method, lot), lot, role) for lot, method, role in pairs]
    columns = tuple(column for column, _ in lines[0][0]) if lines else ()
    rows = tuple(
        TableRow(tuple(text for _, text in line), role, quiet=lot.left_out is not None) for line, lot, role in lines
    )
    return Table(columns, rows)


def _has_methods(trend: StageTrend) -> bool:
    return len(trend.methods) > 1 or any(m.method_id is not None for m in trend.methods)


def _short(floor: Floor, trend: StageTrend, method: MethodTrend, lot: Lot) -> Cells:
    named = (Column("Method", marked=True), method_name(floor, trend, method))
    return (
        (Column(_head(floor, "batch")), floor.get(Batch, lot.batch_id).name),
        *([named] if _has_methods(trend) else []),
        (Column("Min", figures=True), minutes_text(lot.minutes)),
    )


def _full(floor: Floor, trend: StageTrend, method: MethodTrend, lot: Lot) -> Cells:
    named = (Column("Method", marked=True), method_name(floor, trend, method))
    return (
        (Column(_head(floor, "batch")), floor.get(Batch, lot.batch_id).name),
        (Column("Pattern"), floor.get(Pattern, lot.pattern_id).name),
        (Column("Date"), date_text(floor, lot.at_us)),
        *([named] if _has_methods(trend) else []),
        (Column(word(floor, "piece").many.capitalize(), figures=True), str(lot.pieces)),
        (Column("Count", figures=True), count_text(lot)),
        (Column(a_piece(floor).capitalize(), figures=True), minutes_text(lot.minutes)),
        (Column("Set-up min", figures=True), _or_dash(lot.setup_us)),
        (Column("Rework min", figures=True), _or_dash(lot.rework_us)),
        (Column("Left out"), reason_text(floor, lot.left_out) if lot.left_out is not None else ""),
    )


def count_text(lot: Lot) -> str:
    """Say F to L: 31 to 37."""
    return f"{lot.first_piece} to {lot.last_piece}" if lot.pieces > 1 else str(lot.last_piece)


def _head(floor: Floor, name: str) -> str:
    return word(floor, name).one.capitalize()


def _or_dash(length_us: int) -> str:
    """Say minutes; where none was pressed they are inside the run, not 0."""
    return minutes_text(length_us / MINUTE_US if length_us else None)
