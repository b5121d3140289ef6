"""Bench that a record is: the one that wrote this very file last. One opened from a copy goes on as a new bench."""

import platform
from collections.abc import Iterable, Sequence
from pathlib import Path

from shopclock.record.file.identity import identity_of
from shopclock.shop.values.entities import Bench, Checkout


def place_of(path: Path) -> str:
    """Return what the file at a path is known by: its computer and its number there, which no copy has."""
    found = identity_of(path)
    return f"{platform.node()} {found.number}" if found is not None else ""


def are_joined(benches: Iterable[Bench]) -> bool:
    """Tell whether the shop has several benches that exchange what is pressed."""
    return any(bench.place for bench in benches)


def at_place(benches: Iterable[Bench], path: Path) -> Bench | None:
    """Return the bench that wrote the file at a path last; nothing where that is a copy."""
    place = place_of(path)
    return next((bench for bench in benches if bench.place and bench.place == place), None)


def this_one(benches: Sequence[Bench], path: Path, desk: Checkout | None) -> Bench | None:
    """Return which of the shop's benches a record is; nothing where it is a copy, or none is there yet.

    `desk` is what made it a desk's copy. One of an older version has made its bench last, under another UUID.
    """
    if desk is not None:
        return next((bench for bench in benches if bench.uuid == desk.uuid), benches[-1] if benches else None)
    if not are_joined(benches):
        return benches[0] if benches else None
    return at_place(benches, path)
