"""The command that writes a spreadsheet. What it needs is imported when it runs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from shopclock.commands.common import (
    STANDARD,
    confirm,
    ids_of,
    instant_us,
    output_to,
    quiet_option,
    reading_of,
    record_option,
)  # fmt: skip

if TYPE_CHECKING:
    from shopclock.exchange.workbook.options import ExportOptions
    from shopclock.record.read.read_only import ReadOnlyRecord


@click.command()
@quiet_option
@click.argument("file", type=click.Path(path_type=Path))
@record_option
@click.option(
    "--as",
    "kind",
    type=click.Choice(["csv", "json", "xlsx"]),
    default="csv",
    show_default=True,
    help="What - is to be.",
)
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
def export(file: Path, record: Path, kind: str, **asked: Any) -> None:
    """Write the record to FILE, which ends in .xlsx (all sheets), .csv or .json (the intervals); - is standard output.

    With days, batches that were worked on in between are told whole. A FILE that is there already is replaced once
    the new one is whole.
    """
    from shopclock.exchange.workbook.export import export_record
    from shopclock.shop.state.wording import zone_of

    with reading_of(record) as reading:
        options = _options(reading, **asked)
        with output_to(file, f".{kind}") as place:
            export_record(reading, place, zone_of(reading.floor), options)
    if str(file) != STANDARD:
        confirm(f"{file} is written.")


def _options(
    reading: ReadOnlyRecord, batch: str | None, first: str | None, last: str | None, separator: str | None, decimal: str
) -> ExportOptions:
    """Return what the options of `export` ask for."""
    from shopclock.exchange.workbook.options import (
        DECIMALS,
        SEPARATORS,
        ExportOptions,
        separator_for,
        span_of,
        typed_day,
    )
    from shopclock.shop.state.wording import zone_of

    now_us = instant_us()
    since, until = (typed_day(day) if day is not None else None for day in (first, last))
    return ExportOptions(
        now_us=now_us,
        batch_ids=ids_of(reading, batch),
        span=span_of(since, until, zone_of(reading.floor), now_us),
        separator=SEPARATORS[separator or separator_for(decimal)],
        decimal=DECIMALS[decimal],
    )
