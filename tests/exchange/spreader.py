"""A shop with one pattern and nothing timed: old notes are brought into it."""

from pathlib import Path

from shopclock.record.record import Record
from shopclock.shop import patterns
from tests.shop.workshop import ROUTE, ToyClock


def spreader_shop(folder: Path) -> Record:
    """Make its record in a folder; who asked closes it."""
    opened = Record.open(folder / "shop.shopclock", ToyClock(), make=True, zone="Europe/Vienna")
    opened.press("Route", lambda turn: patterns.copy_route(turn, ROUTE, "Spreader"))
    return opened
