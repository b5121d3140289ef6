"""Having a refuge for a record whose disk can go away: its copy is made beside the window, presses are added by it."""

import sqlite3
from contextlib import closing
from pathlib import Path

from shopclock.record.copies.copying import copy_to
from shopclock.record.file.engine import connect
from shopclock.record.file.refuge import Refuge
from shopclock.record.file.session import NONE, Newest, newest_of
from shopclock.shop.values.errors import ShopError


def copy_for_refuge(record: Path, refuge: Refuge) -> Newest:
    """Copy a record into its refuge; return the newest press of the copy. ShopError."""
    copy_to(record, refuge.base)
    return base_of(refuge)


def base_of(refuge: Refuge) -> Newest:
    """Return the newest press of a refuge's copy; NONE where there is none that can be read."""
    try:
        with closing(connect(refuge.base)) as made:
            return newest_of(made)
    except sqlite3.Error:
        return NONE


def take_refuge(record: Path, refuge: Refuge, newest: Newest) -> Newest | None:
    """Renew the copy where copy and presses don't hold all; return its newest press, nothing where they do."""
    if refuge.holds(newest, base_of(refuge)):
        return None
    try:
        return copy_for_refuge(record, refuge)
    except ShopError:
        return None
