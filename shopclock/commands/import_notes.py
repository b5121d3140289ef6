"""The command that brings old notes in."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from shopclock.commands.common import (
    confirm,
    input_from,
    instant_us,
    quiet_option,
    reading_of,
    record_option,
    take_over_option,
    writing_of,
)

if TYPE_CHECKING:
    from shopclock.exchange.notes.columns import What
    from shopclock.exchange.notes.notes import NotesAnswers


@click.command("import")
@quiet_option
@click.argument("file", type=click.Path(path_type=Path))
@record_option
@take_over_option
@click.option("--dry-run", is_flag=True, help="Only say what would be made.")
@click.option("--leave-out", is_flag=True, help="Bring in the rest where rows can't be taken.")
@click.option("--column", "columns", metavar="B=WHAT", multiple=True, help="What a column is; for each again.")
@click.option("--dates", type=click.Choice(["day-first", "month-first"]), help="What 7/3/26 is.")
@click.option("--numbers", type=click.Choice(["minutes", "hours"]), help="What bare numbers of a length are.")
@click.option("--stage", "stages", metavar="NAME=STAGE", multiple=True, help="What a name is; for each name again.")
@click.option("--pattern", metavar="NAME", default="", help="The pattern of rows that name none.")
@click.option("--pieces", type=click.IntRange(1, 60), help="How many pieces, in rows that don't say.")
@click.option("--open", "open_batches", metavar="BATCH", multiple=True, help="A batch that is still in work.")
@click.option("--sheet", metavar="NAME", default="", help="The sheet of a workbook; the first that is not in without.")
@click.option("--method", "methods", metavar="NAME=METHOD", multiple=True, help="The method that a name says.")
@click.option("--measured", is_flag=True, help="Lengths were timed; without, they count as estimated.")
def import_(file: Path, record: Path, dry_run: bool, leave_out: bool, take_over: bool, **said: Any) -> None:
    """Bring in old notes from FILE, a .csv, .xlsx or .ods: all of them or, with exit code 1, nothing.

    For FILE - is standard input.
    """
    from shopclock.exchange.notes.notes import draft_notes
    from shopclock.exchange.notes.notes_in import here_in, take_in
    from shopclock.exchange.notes.text import brought_text, draft_lines, troubles_stop

    if dry_run:
        _only_told(file, record, _said(**said))
        return
    with writing_of(record, take_over=take_over) as opened:
        with input_from(file) as place:
            drafted = draft_notes(opened, place, _said(**said), here_in(opened))
        for line in draft_lines(opened.floor, drafted):
            confirm(line)
        if drafted.troubles and not leave_out:
            raise click.ClickException(troubles_stop(drafted))
        take_in(opened, drafted)
        confirm(brought_text(drafted))


def _only_told(file: Path, record: Path, said: NotesAnswers) -> None:
    """Say what would be made, also while a window has the record open."""
    from shopclock.exchange.notes.notes import NotesContext, draft_notes
    from shopclock.exchange.notes.text import draft_lines
    from shopclock.shop.values.entities import Maker

    with reading_of(record) as reading:
        maker = next(maker for maker in reading.floor.all(Maker))
        with input_from(file) as place:
            drafted = draft_notes(reading, place, said, NotesContext(max(instant_us(), reading.newest_us), maker.id))
        for line in draft_lines(reading.floor, drafted):
            click.echo(line)
    click.echo("Nothing was changed.")


def _said(
    stages: tuple[str, ...],
    methods: tuple[str, ...],
    columns: tuple[str, ...],
    dates: str | None,
    numbers: str | None,
    **plain: Any,
) -> NotesAnswers:
    """Return what the options of `import` say of a file."""
    from shopclock.exchange.notes.notes import NotesAnswers
    from shopclock.exchange.notes.rows import RowQuestions
    from shopclock.exchange.notes.time import DateOrder, LengthUnit

    if any("=" not in pair for pair in (*stages, *methods)):
        raise click.UsageError("--stage takes NAME=STAGE, --method NAME=METHOD.")
    order = DateOrder(dates.replace("-", " ")) if dates is not None else None
    asked = RowQuestions(order, LengthUnit(numbers) if numbers is not None else None)
    return NotesAnswers(
        asked=asked, stages=_pairs(stages), methods=_pairs(methods), columns=dict(map(_column, columns)), **plain
    )


def _pairs(said: tuple[str, ...]) -> dict[str, str]:
    return {name.strip(): meant.strip() for name, meant in (pair.split("=", 1) for pair in said)}


def _column(said: str) -> tuple[int, What | None]:
    """Return the place and the meaning in B=stage; "nothing" is one too."""
    from shopclock.exchange.notes.columns import What, place_of

    name, _, meant = (part.strip() for part in said.partition("="))
    place, words = place_of(name), [what.value for what in What]
    if place is None or meant not in (*words, "nothing"):
        raise click.UsageError(f"--column takes B=WHAT, where WHAT is {', '.join(words)} or nothing.")
    return place, None if meant == "nothing" else What(meant)
