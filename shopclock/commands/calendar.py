"""The command that writes a calendar."""

from pathlib import Path

import click

from shopclock.commands.common import instant_us, reading_of, record_option


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@record_option
def calendar(file: Path, record: Path) -> None:
    """Write plan, waits, promises and what spoils to FILE, which ends in .ics, for any calendar.

    Import it again later: entries that are there are changed, not doubled.
    """
    from shopclock.exchange.calendar import write_calendar

    with reading_of(record) as reading:
        why = write_calendar(reading, file, instant_us())
    click.echo(f"{file} is written.")
    if why:
        click.echo(f"It has no plan in it. {why}", err=True)
