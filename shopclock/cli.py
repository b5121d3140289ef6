"""The commands that need no window. What a command needs is imported inside it, so that --help answers at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shopclock import __version__

if TYPE_CHECKING:
    from collections.abc import Sequence


def main(arguments: Sequence[str]) -> int:
    """Run one command; the exit code."""
    try:
        commands.main(args=list(arguments), standalone_mode=False)
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except click.Abort:
        return 130
    return 0


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, message="%(prog)s %(version)s", prog_name="shopclock")
def commands() -> None:
    """Times batches at the bench and tells what a piece really costs in minutes.

    Without a command the window opens: --demo on a copy of the demo shop, --record PATH on a record of your own.
    """
