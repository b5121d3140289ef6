"""The command that writes the review of a batch."""

from pathlib import Path

import click

from shopclock.commands.common import confirm, instant_us, paper_option, quiet_option, reading_of, record_option


@click.command()
@quiet_option
@click.argument("batch")
@click.argument("file", type=click.Path(path_type=Path))
@record_option
@paper_option
def review(batch: str, file: Path, record: Path, paper: str | None) -> None:
    """Write the review of BATCH to FILE.pdf: where its minutes went, its days, losses and readings."""
    from shopclock.exchange.printing.files import write_review

    with reading_of(record) as reading:
        write_review(reading, batch, file, paper, instant_us())
    confirm(f"{file} is written.")
