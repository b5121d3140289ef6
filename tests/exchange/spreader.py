"""A shop with one pattern and nothing timed: old notes are brought into it."""

from pathlib import Path

from shopclock.record.press.record import Record
from shopclock.shop.setup import patterns
from tests.shop.workshop import ROUTE, ToyClock


def spreader_shop(folder: Path) -> Record:
    """Make its record in a folder; who asked closes it."""
    opened = Record.open(folder / "shop.shopclock", ToyClock(), make=True, zone="Europe/Vienna")
    opened.press("Route", lambda tx: patterns.copy_route(tx, ROUTE, "Spreader"))
    return opened
