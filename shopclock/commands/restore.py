"""The command that brings a copy back."""

from pathlib import Path

import click

from shopclock.commands.common import confirm, holding, instant_us, quiet_option, record_option, take_over_option


@click.command()
@quiet_option
@click.argument("copy", type=click.Path(path_type=Path))
@record_option
@take_over_option
@click.option("--yes", is_flag=True, help="Do it; without, only what would be lost is told.")
def restore(copy: Path, record: Path, yes: bool, take_over: bool) -> None:
    """Bring COPY back in the place of the record, which is kept as it was."""
    from shopclock.exchange.check_text import lost_text
    from shopclock.record.copies.restoring import lost, refuse_unsound
    from shopclock.record.copies.restoring import restore as put_back

    if not yes:
        refuse_unsound(copy, copy)
        click.echo(f"{lost_text(lost(record, copy))} Nothing was changed. With --yes it is done.")
        return
    with holding(record, take_over=take_over):
        kept = put_back(record, copy, instant_us())
    was = f" What was there is kept at {kept}." if kept is not None else ""
    confirm(f"{record} is {copy} now.{was}")
