"""The command that makes an empty record."""

from __future__ import annotations

import os
from pathlib import Path

import click

from shopclock.commands.common import confirm, quiet_option

LINK = Path("/etc/localtime")
"""Where a Unix system keeps the zone that its clock is told in, as a link into the tables of the zones."""


@click.command()
@quiet_option
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--zone", metavar="NAME", help="The shop's time zone, as Europe/Dublin; without, this machine's.")
def new(path: Path, zone: str | None) -> None:
    """Make the empty record of a new shop at PATH."""
    from shopclock.record.press.record import Record
    from shopclock.shop.values.clock import SystemClock
    from shopclock.shop.values.errors import ShopError

    if path.exists():
        raise ShopError(f"{path} is there already. Nothing was changed. Choose another name.")
    if not path.absolute().parent.is_dir():
        raise ShopError(f"There is no folder {path.absolute().parent}. Nothing was made. Make it first.")
    named = zone or _machine_zone()
    if not _is_zone(named):
        raise ShopError(f"{named} is no time zone, such as Europe/Dublin. Nothing was made.")
    Record.open(path, SystemClock(), make=True, zone=named).close()
    confirm(f"{path} is made, its days told in {named}. `shopclock --record {path}` opens it.")


def _machine_zone() -> str:
    """Return the zone of this machine, as far as it names one; else UTC."""
    linked = str(LINK.resolve()).partition("zoneinfo/")[2] if LINK.is_symlink() else ""
    wanted = (os.environ.get("TZ", "").lstrip(":"), linked)
    return next((name for name in wanted if name and _is_zone(name)), "UTC")


def _is_zone(name: str) -> bool:
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True
