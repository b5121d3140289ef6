"""Parts that commands share: which record they read, and when now is. The rest is imported when a command runs."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopclock.places import RECORD_BY_NAME

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from typing import Any, TypeAlias

    from shopclock.record.press.record import Record
    from shopclock.record.read.read_only import ReadOnlyRecord

    Option: TypeAlias = Callable[[Callable[..., Any]], Callable[..., Any]]


QUIET = "shopclock.quiet"


def _own_record() -> Path:
    from shopclock.record.file.place import usual_place

    return usual_place()


record_option: Option = click.option(
    "--record",
    metavar="PATH",
    envvar=RECORD_BY_NAME,
    type=click.Path(path_type=Path),
    default=_own_record,
    help=f"The record; without, the one that {RECORD_BY_NAME} names, else that of your own shop.",
)

quiet_option: Option = click.option(
    "-q", "--quiet", is_flag=True, expose_value=False, callback=lambda context, _, quiet: _hush(context, quiet=quiet),
    help="Say nothing of what went well.",
)  # fmt: skip


paper_option: Option = click.option(
    "--paper", type=click.Choice(["A4", "Letter"], case_sensitive=False), help="Without, as the shop has set it."
)


@contextlib.contextmanager
def reading_of(record: Path) -> Iterator[ReadOnlyRecord]:
    """Open a record to read; what damage makes of its figures is told as damage."""
    from shopclock.record.check.blame import damage_told
    from shopclock.record.read.read_only import ReadOnlyRecord

    with damage_told(record), ReadOnlyRecord.open(record) as reading:
        yield reading


def _hush(context: click.Context, *, quiet: bool) -> None:
    context.meta[QUIET] = quiet


def confirm(sentence: str, *, err: bool = False) -> None:
    """Say what was done, unless it is to be done quietly; beside an answer that goes to standard output, on `err`."""
    if not click.get_current_context().meta.get(QUIET, False):
        click.echo(sentence, err=err)


STANDARD = "-"
"""The name of standard input and output, as everywhere."""


@contextlib.contextmanager
def output_to(file: Path, ending: str) -> Iterator[Path]:
    """Have what is written to a file go there, or for `-` to standard output once it is whole."""
    if str(file) != STANDARD:
        yield file
        return
    import codecs
    import sys
    import tempfile

    with tempfile.TemporaryDirectory(prefix="shopclock-") as folder:
        made = Path(folder) / f"standard output{ending}"
        yield made
        sys.stdout.buffer.write(made.read_bytes().removeprefix(codecs.BOM_UTF8))  # that is for spreadsheets
        sys.stdout.buffer.flush()


@contextlib.contextmanager
def input_from(file: Path) -> Iterator[Path]:
    """Give the file to read; for `-` one with what comes from standard input, as much of it as can be taken."""
    if str(file) != STANDARD:
        yield file
        return
    import sys
    import tempfile

    from shopclock.exchange.notes.limits import LARGEST

    with tempfile.TemporaryDirectory(prefix="shopclock-") as folder:
        held = Path(folder) / "standard input"
        held.write_bytes(sys.stdin.buffer.read(LARGEST + 1))
        yield held


def ids_of(reading: ReadOnlyRecord, batch: str | None) -> frozenset[int] | None:
    """Return the numbers of the batches of a name; nothing where none is named: all."""
    from shopclock.exchange.names import batches_named

    return frozenset(found.id for found in batches_named(reading.floor, batch)) if batch is not None else None


def instant_us() -> int:
    """Return now, microseconds UTC."""
    from shopclock.shop.values.clock import SystemClock

    return SystemClock().moment().wall_us


take_over_option: Option = click.option(
    "--take-over", is_flag=True, help="Also where the record was left open, and nobody has it open any more."
)


@contextlib.contextmanager
def holding(path: Path, *, take_over: bool) -> Iterator[None]:
    """Have a record for this command alone: a window would not know of what it writes."""
    from shopclock.record.file.lock import RecordLock

    lock = RecordLock(path)
    holder = lock.take(over=take_over)
    if holder is not None:
        how = "" if holder.sure else " With --take-over it is."
        raise click.ClickException(f"{holder.sentence(path)}{how}")
    try:
        yield
    finally:
        lock.release()


@contextlib.contextmanager
def writing_of(path: Path, *, take_over: bool) -> Iterator[Record]:
    """Open a record that is there to write."""
    from shopclock.record.press.record import Record
    from shopclock.shop.values.clock import SystemClock

    with holding(path, take_over=take_over):
        opened = Record.open(path, SystemClock())
        try:
            yield opened
        finally:
            opened.close()
