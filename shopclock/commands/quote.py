"""The command that writes a quote."""

from pathlib import Path

import click

from shopclock.commands.common import confirm, instant_us, paper_option, quiet_option, reading_of, record_option


@click.command()
@quiet_option
@click.argument("order")
@click.argument("file", type=click.Path(path_type=Path))
@record_option
@paper_option
def quote(order: str, file: Path, record: Path, paper: str | None) -> None:
    """Write the quote for ORDER, by who it is for, to FILE.pdf: price, tax apart, deposit and the promised day."""
    from shopclock.exchange.printing.files import write_quote

    with reading_of(record) as reading:
        write_quote(reading, record, order, file, paper, instant_us())
    confirm(f"{file} is written.")
