"""The command that writes the record in open formats."""

from pathlib import Path

import click

from shopclock.commands.common import confirm, instant_us, quiet_option, record_option


@click.command()
@quiet_option
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--for-others", is_flag=True, help="Without customers, prices, costs and rates.")
@record_option
def archive(file: Path, for_others: bool, record: Path) -> None:
    """Write the whole record to FILE.zip in open formats, readable without this program."""
    from shopclock.record.copies.archive import archive as write

    write(record, file, instant_us(), for_others=for_others)
    confirm(f"{file} is written.")
