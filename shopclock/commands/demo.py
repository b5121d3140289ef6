"""The command that writes the demo shop."""

from pathlib import Path

import click

from shopclock.commands.common import confirm, instant_us, quiet_option


@click.command()
@quiet_option
@click.argument("path", type=click.Path(path_type=Path))
def demo(path: Path) -> None:
    """Write the record of the demo shop to PATH: two years, every figure invented."""
    from shopclock.demo.write import write_demo

    write_demo(path, instant_us())
    confirm(f"{path} is written. `shopclock --record {path}` opens it.")
