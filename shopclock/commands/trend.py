"""The command that tells the trend of a stage."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shopclock.commands.answers import json_option, tell
from shopclock.commands.common import instant_us, reading_of, record_option

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.screens.trends.shown import Shown


@click.command()
@click.argument("stage")
@record_option
@json_option
def trend(stage: str, record: Path, as_json: bool) -> None:
    """Tell whether STAGE, by its name or the beginning of it, gets quicker: the sentences of Trends and each batch."""
    from shopclock.analysis.learning.stage_answer import answer_of
    from shopclock.exchange.names import named
    from shopclock.exchange.workbook.figures_text import table_text
    from shopclock.screens.trends.shown import Shown
    from shopclock.screens.trends.stage_state import full_table, none_counts, stage_state
    from shopclock.screens.trends.state import TrendChoice
    from shopclock.shop.values.entities import Stage

    with reading_of(record) as reading:
        floor = reading.floor
        found = named([s for s in floor.all(Stage) if not s.shop_work], stage, lambda one: one.name, "stage")
        answer = answer_of(floor, reading.reads.stage_rows(instant_us()), found.id)
        if not answer.methods:
            tell(as_json, [none_counts(floor, answer).sentence], stage=found.name, sentences=[], batches=[])
            return
        shown = Shown(floor, answer, TrendChoice())
        state, table = stage_state(shown), full_table(shown)
        said = [text for text in (state.sentence, state.more, state.line) if text]
        figures = {i for i, column in enumerate(table.columns) if column.figures}
        lines = table_text([tuple(c.head for c in table.columns), *(row.cells for row in table.rows)], right=figures)
        tell(as_json, [*said, "", lines], stage=found.name, sentences=said, batches=_batches(shown))


def _batches(shown: Shown) -> list[dict[str, object]]:
    """Return each batch at the stage, the oldest first: minutes a piece, F and L of the count, why it is left out."""
    from shopclock.screens.trends.shown import batch_name, pattern_name

    pairs = [(lot, method) for method in shown.answer.methods for lot in method.trend.lots]
    return [
        {
            "batch": batch_name(shown.floor, lot),
            "pattern": pattern_name(shown.floor, lot.pattern_id),
            "method": shown.name(method),
            "pieces": lot.pieces,
            "first_piece": lot.first_piece,
            "last_piece": lot.last_piece,
            "run_min": lot.minutes,
            "left_out": lot.left_out,
            "from_notes": lot.from_notes,
        }
        for lot, method in sorted(pairs, key=lambda pair: pair[0].number)
    ]
