"""The command that copies the record."""

from pathlib import Path

import click

from shopclock.commands.common import confirm, instant_us, quiet_option, record_option


@click.command()
@quiet_option
@click.argument("file", type=click.Path(path_type=Path), required=False)
@record_option
def copy(file: Path | None, record: Path) -> None:
    """Copy the record to FILE, or among its copies; a window may have it open meanwhile."""
    from shopclock.record.copies.copying import copy_to
    from shopclock.record.copies.daily import keep_copy

    if file is not None:
        copy_to(record, file)
        confirm(f"{file} is written.")
        return
    made = keep_copy(record, instant_us())
    if made is None:
        confirm("The newest copy has all there is.")
    else:
        confirm(f"{made.trouble} {made.path} is written.".strip())
