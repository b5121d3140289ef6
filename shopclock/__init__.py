"""Shopclock: times batches at the bench and tells what a piece really costs in minutes.

`shopclock.open(path)` opens a record for scripts and notebooks; see `shopclock.exchange.api`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import os

    from shopclock.exchange.api import ShopFrames

__version__ = "1.0.0"


def open(path: str | os.PathLike[str]) -> ShopFrames:  # noqa: A001  # shopclock.open reads as what it does
    """Open the record at a path for reading, as data frames.

    Raises `shopclock.shop.values.errors.ShopError`, whose text says what is wrong with the file.
    """
    from shopclock.exchange.api import ShopFrames

    return ShopFrames(path)
