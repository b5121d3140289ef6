"""What commands share: which record they read, and when now is. The rest is imported when a command runs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any, TypeAlias

    from shopclock.record.reading import Reading

    Option: TypeAlias = Callable[[Callable[..., Any]], Callable[..., Any]]

record_option: Option = click.option(
    "--record",
    metavar="PATH",
    type=click.Path(path_type=Path),
    help="The record to read; without, that of your own shop.",
)


paper_option: Option = click.option(
    "--paper", type=click.Choice(["A4", "Letter"]), help="Without, as the shop has set it."
)


def place_of(record: Path | None) -> Path:
    """Return where a record lies, the shop's own where none is named."""
    from shopclock.record.place import usual_place

    return record if record is not None else usual_place()


def reading_of(record: Path | None) -> Reading:
    """Open a record to read, the shop's own where none is named."""
    from shopclock.record.reading import Reading

    return Reading.open(place_of(record))


def ids_of(reading: Reading, batch: str | None) -> frozenset[int] | None:
    """Return the numbers of the batches of a name; nothing where none is named: all."""
    from shopclock.exchange.batches_named import batches_named

    return frozenset(found.id for found in batches_named(reading.floor, batch)) if batch is not None else None


def instant_us() -> int:
    """Return now, microseconds UTC."""
    from shopclock.shop.clock import SystemClock

    return SystemClock().moment().wall_us
