"""The command that draws every screen."""

from pathlib import Path

import click


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--all", "everything", is_flag=True, help="In all sizes and both themes; without, one size in both.")
def tour(folder: Path, everything: bool) -> None:
    """Draw every screen and state as PNG into FOLDER; needs no screen."""
    from shopclock.tour.story import tour as draw

    click.echo(f"{draw(folder, everything=everything)} pictures are in {folder}.")
