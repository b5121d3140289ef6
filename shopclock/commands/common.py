"""Parts that commands share: which record they read, and when now is. The rest is imported when a command runs."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from typing import Any, TypeAlias

    from shopclock.record.press.record import Record
    from shopclock.record.read.read_only import ReadOnlyRecord

    Option: TypeAlias = Callable[[Callable[..., Any]], Callable[..., Any]]


def _own_record() -> Path:
    from shopclock.record.file.place import usual_place

    return usual_place()


record_option: Option = click.option(
    "--record",
    metavar="PATH",
    type=click.Path(path_type=Path),
    default=_own_record,
    help="The record to read; without, that of your own shop.",
)


paper_option: Option = click.option(
    "--paper", type=click.Choice(["A4", "Letter"]), help="Without, as the shop has set it."
)


def reading_of(record: Path) -> ReadOnlyRecord:
    """Open a record to read."""
    from shopclock.record.read.read_only import ReadOnlyRecord

    return ReadOnlyRecord.open(record)


def ids_of(reading: ReadOnlyRecord, batch: str | None) -> frozenset[int] | None:
    """Return the numbers of the batches of a name; nothing where none is named: all."""
    from shopclock.exchange.names import batches_named

    return frozenset(found.id for found in batches_named(reading.floor, batch)) if batch is not None else None


def instant_us() -> int:
    """Return now, microseconds UTC."""
    from shopclock.shop.values.clock import SystemClock

    return SystemClock().moment().wall_us


def _has_window(path: Path) -> bool:
    """Tell by the lock beside a record whether a window that still runs has it: it would not know of what we write."""
    try:
        number = int(path.absolute().with_name(f"{path.name}.lock").read_text("utf-8").splitlines()[0])
    except (OSError, ValueError, IndexError):
        return False
    if os.name == "nt":  # there a signal would end it, and a lock that is left over can't be told from one in use
        return True
    try:
        os.kill(number, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


@contextlib.contextmanager
def writing_of(path: Path) -> Iterator[Record]:
    """Open a record that is there to write."""
    from shopclock.record.press.record import Record
    from shopclock.shop.values.clock import SystemClock

    if _has_window(path):
        raise click.ClickException(f"A window has {path} open. Nothing was changed. Close it first.")
    opened = Record.open(path, SystemClock())
    try:
        yield opened
    finally:
        opened.close()
