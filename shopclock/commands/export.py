"""The command that writes a spreadsheet. What it needs is imported when it runs."""

from pathlib import Path

import click

from shopclock.commands.common import ids_of, instant_us, reading_of, record_option


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@record_option
@click.option("--batch", metavar="NAME", help="This batch alone; without, the whole shop.")
@click.option("--from", "first", metavar="DAY", help="Work begun on this day or later, such as 2026-01-01.")
@click.option("--to", "last", metavar="DAY", help="Work begun on this day or earlier, such as 2026-03-31.")
@click.option(
    "--separator",
    type=click.Choice(["comma", "semicolon", "tab"]),
    help="Between the fields of a .csv: comma, but semicolon where the decimal sign is a comma.",
)
@click.option(
    "--decimal",
    type=click.Choice(["point", "comma"]),
    default="point",
    show_default=True,
    help="The decimal sign of a .csv.",
)
def export(
    file: Path,
    record: Path,
    batch: str | None,
    first: str | None,
    last: str | None,
    separator: str | None,
    decimal: str,
) -> None:
    """Write the record to FILE, which ends in .xlsx (all sheets) or .csv (the intervals).

    With days, batches that were worked on in between are told whole. A FILE that is there already is replaced once
    the new one is whole.
    """
    from shopclock.exchange.workbook.export import export_record
    from shopclock.exchange.workbook.options import (
        DECIMALS,
        SEPARATORS,
        ExportOptions,
        separator_for,
        span_of,
        typed_day,
    )
    from shopclock.shop.state.wording import zone_of

    since, until = (typed_day(day) if day is not None else None for day in (first, last))
    with reading_of(record) as reading:
        now_us, zone = instant_us(), zone_of(reading.floor)
        options = ExportOptions(
            now_us=now_us,
            batch_ids=ids_of(reading, batch),
            span=span_of(since, until, zone, now_us),
            separator=SEPARATORS[separator or separator_for(decimal)],
            decimal=DECIMALS[decimal],
        )
        export_record(reading, file, zone, options)
    click.echo(f"{file} is written.")
