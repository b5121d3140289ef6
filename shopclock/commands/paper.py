"""The commands that write paper and the calendar."""

from __future__ import annotations

from pathlib import Path

import click

from shopclock.commands.common import instant_us, paper_option, reading_of, record_option


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@record_option
def calendar(file: Path, record: Path | None) -> None:
    """Write plan, waits, promises and what spoils to FILE, which ends in .ics, for any calendar.

    Import it again later: entries that are there are changed, not doubled.
    """
    from shopclock.exchange.calendar import write_calendar

    with reading_of(record) as reading:
        why = write_calendar(reading, file, instant_us())
    click.echo(f"{file} is written.")
    if why:
        click.echo(f"It has no plan in it. {why}", err=True)


@click.command()
@click.argument("batch")
@click.argument("file", type=click.Path(path_type=Path))
@record_option
@paper_option
def card(batch: str, file: Path, record: Path | None, paper: str | None) -> None:
    """Write the card of BATCH for the wall to FILE.pdf: to be filled by pencil when the computer is off."""
    from shopclock.exchange.printing.files import write_card

    with reading_of(record) as reading:
        write_card(reading, batch, file, paper, instant_us())
    click.echo(f"{file} is written.")


@click.command()
@click.argument("batch")
@click.argument("file", type=click.Path(path_type=Path))
@record_option
@paper_option
def review(batch: str, file: Path, record: Path | None, paper: str | None) -> None:
    """Write the review of BATCH to FILE.pdf: where its minutes went, its days, losses and readings."""
    from shopclock.exchange.printing.files import write_review

    with reading_of(record) as reading:
        write_review(reading, batch, file, paper, instant_us())
    click.echo(f"{file} is written.")


@click.command()
@click.argument("order")
@click.argument("file", type=click.Path(path_type=Path))
@record_option
@paper_option
def quote(order: str, file: Path, record: Path | None, paper: str | None) -> None:
    """Write the quote for ORDER, by who it is for, to FILE.pdf: price, tax apart, deposit and the promised day."""
    from shopclock.exchange.printing.files import write_quote

    with reading_of(record) as reading:
        write_quote(reading, order, file, paper, instant_us())
    click.echo(f"{file} is written.")
