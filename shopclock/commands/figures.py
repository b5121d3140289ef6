"""The command that tells the minutes of batches."""

from pathlib import Path

import click

from shopclock.commands.common import ids_of, instant_us, reading_of, record_option


@click.command()
@click.argument("batch", required=False)
@record_option
@click.option("--json", "as_json", is_flag=True, help="As JSON for scripts, minutes under keys that end in _min.")
def figures(batch: str | None, record: Path, as_json: bool) -> None:
    """Tell the minutes of each batch, or those of BATCH stage by stage."""
    from shopclock.exchange.workbook.figures_json import figures_json
    from shopclock.exchange.workbook.figures_text import batch_text, batches_text
    from shopclock.exchange.workbook.options import ExportOptions
    from shopclock.exchange.workbook.sheets import batch_lines

    with reading_of(record) as reading:
        floor, now_us = reading.floor, instant_us()
        lines = batch_lines(reading, ExportOptions(now_us=now_us, batch_ids=ids_of(reading, batch)))
        if as_json:
            click.echo(figures_json(floor, lines, now_us))
        elif batch is None:
            click.echo(batches_text(floor, lines))
        else:
            click.echo("\n\n".join(batch_text(floor, line) for line, _ in lines))
