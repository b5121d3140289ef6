"""The command that writes the card of a batch."""

from pathlib import Path

import click

from shopclock.commands.common import confirm, instant_us, paper_option, quiet_option, reading_of, record_option


@click.command()
@quiet_option
@click.argument("batch")
@click.argument("file", type=click.Path(path_type=Path))
@record_option
@paper_option
def card(batch: str, file: Path, record: Path, paper: str | None) -> None:
    """Write the card of BATCH for the wall to FILE.pdf: to be filled by pencil when the computer is off."""
    from shopclock.exchange.printing.files import write_card

    with reading_of(record) as reading:
        write_card(reading, batch, file, paper, instant_us())
    confirm(f"{file} is written.")
