"""The command that writes a calendar."""

from pathlib import Path

import click

from shopclock.commands.common import (
    STANDARD,
    confirm,
    instant_us,
    output_to,
    quiet_option,
    reading_of,
    record_option,
)  # fmt: skip


@click.command()
@quiet_option
@click.argument("file", type=click.Path(path_type=Path))
@record_option
def calendar(file: Path, record: Path) -> None:
    """Write plan, waits, promises and what spoils to FILE, which ends in .ics, for any calendar; - is standard output.

    Import it again later: entries that are there are changed, not doubled.
    """
    from shopclock.exchange.calendar import write_calendar

    with reading_of(record) as reading, output_to(file, ".ics") as place:
        why = write_calendar(reading, place, instant_us())
    if str(file) != STANDARD:
        confirm(f"{file} is written.")
    if why:
        click.echo(f"It has no plan in it. {why}", err=True)
