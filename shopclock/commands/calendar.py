"""The command that writes a calendar."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

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

if TYPE_CHECKING:
    from shopclock.exchange.calendar import Written


@click.command()
@quiet_option
@click.argument("file", type=click.Path(path_type=Path))
@record_option
def calendar(file: Path, record: Path) -> None:
    """Write plan, waits, promises and what spoils to FILE, which ends in .ics, for any calendar; - is standard output.

    Import it again later: entries that are there are changed, not doubled, and what is no longer so is cancelled.
    """
    from shopclock.exchange.calendar import write_calendar

    with reading_of(record) as reading, output_to(file, ".ics") as place:
        written = write_calendar(reading, place, instant_us())
    why = written.why
    _remember(record, written)
    if str(file) != STANDARD:
        confirm(f"{file} is written.")
    if why:
        click.echo(f"It has no plan in it. {why}", err=True)


def _remember(record: Path, written: Written) -> None:
    """Have the record know what the calendar was told; a window that has it open knows by its own files."""
    from shopclock.commands.common import writing_of
    from shopclock.shop.planning.calendar_events import remember
    from shopclock.shop.values.errors import ShopError

    with suppress(click.ClickException, ShopError, OSError), writing_of(record, take_over=False) as open_record:
        open_record.press("Calendar", lambda tx: remember(tx, written.events), undoable=False)
