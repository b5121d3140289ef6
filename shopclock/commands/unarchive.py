"""The command that makes a record of an archive."""

from pathlib import Path

import click

from shopclock.commands.common import confirm, quiet_option


@click.command()
@quiet_option
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("path", type=click.Path(path_type=Path))
def unarchive(file: Path, path: Path) -> None:
    """Make a new record at PATH of the archive FILE.zip, equal to the last row."""
    from shopclock.record.copies.unarchive import unarchive as read

    read(file, path)
    confirm(f"{path} is written. `shopclock --record {path}` opens it.")
