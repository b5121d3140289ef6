"""The command that draws every screen."""

from pathlib import Path

import click

from shopclock.commands.common import confirm, quiet_option


@click.command()
@quiet_option
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--all", "everything", is_flag=True, help="In all sizes and both themes; without, one size in both.")
@click.option("--screen", metavar="NAME", help="This screen alone, in one size: today, bench, trends.")
def tour(folder: Path, everything: bool, screen: str | None) -> None:
    """Draw every screen and state as PNG into FOLDER; needs no screen."""
    from shopclock.tour.story import tour as draw

    confirm(f"{draw(folder, everything=everything, screen=screen)} pictures are in {folder}.")
