"""The commands that need no window. What a command needs is imported inside it, so that --help answers at once."""

from __future__ import annotations

import contextlib
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopclock import __version__
from shopclock.commands.common import ids_of, instant_us, place_of, reading_of, record_option
from shopclock.commands.desk_copy import bring_back, take_along_
from shopclock.commands.export import export
from shopclock.commands.import_notes import import_
from shopclock.commands.paper import calendar, card, quote, review

if TYPE_CHECKING:
    from collections.abc import Sequence

OURS = "Something went wrong that is our mistake; the record was not changed. What happened is written down in {log}."
NOT_THERE = "This version has no `{word}` yet."


def main(arguments: Sequence[str]) -> int:
    """Run one command; the exit code: 0, 1 with a sentence, 2 when it was called wrongly."""
    try:
        done = commands.main(args=list(arguments), prog_name="shopclock", standalone_mode=False)
    except click.UsageError as error:
        return _say(f"{_sentence(error.format_message())} `shopclock --help` tells what there is.", error.exit_code)
    except click.ClickException as error:
        return _say(_sentence(error.format_message()), error.exit_code)
    except click.Abort:
        return 130
    except Exception as error:  # noqa: BLE001  # the last stop: our own mistakes are written down, not shown
        return _told(error)
    return done if isinstance(done, int) else 0


def _told(error: Exception) -> int:
    """Say an error of the world in its sentence; write down one of ours."""
    from shopclock.mistakes import write_down
    from shopclock.shop.values.errors import ShopError

    if isinstance(error, ShopError):
        return _say(str(error), 1)
    if isinstance(error, OSError):
        _let_go_of_output()
        return _say(f"This can't be done: {error.strerror or error}. The record was not changed.", 1)
    return _say(OURS.format(log=write_down(error, "command")), 1)


def _let_go_of_output() -> None:
    """Send what is left in the output nowhere: written to a full disk at the very end it would fail once more."""
    with contextlib.suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _say(sentence: str, code: int) -> int:
    click.echo(sentence, err=True)
    return code


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?")) else f"{text}."


@click.group(invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, message="%(prog)s %(version)s", prog_name="shopclock")
@click.option("--record", metavar="PATH", type=click.Path(path_type=Path), help="Open the window on this record.")
@click.option("--demo", is_flag=True, help="Open the window on a demo shop that may be spoiled.")
@click.pass_context
def commands(context: click.Context, record: Path | None, demo: bool) -> None:
    """Times batches at the bench and tells what a piece really costs in minutes.

    Without a command the window opens, on the record of your own shop.
    """
    command = context.invoked_subcommand
    if command is None:
        raise click.UsageError("Give one of --record PATH and --demo, or a command.")
    if record is not None or demo:
        raise click.UsageError(f"--record PATH comes after the command: `shopclock {command} --record PATH`.")


@commands.command()
@click.argument("batch", required=False)
@record_option
@click.option("--json", "as_json", is_flag=True, help="As JSON for scripts, minutes under keys that end in _min.")
def figures(batch: str | None, record: Path | None, as_json: bool) -> None:
    """Tell the minutes of each batch, or those of BATCH stage by stage."""
    from shopclock.exchange.workbook.figures_json import figures_json
    from shopclock.exchange.workbook.figures_text import batch_text, batches_text
    from shopclock.exchange.workbook.options import ExportOptions
    from shopclock.exchange.workbook.sheets import batch_lines

    with reading_of(record) as reading:
        floor, now_us = reading.floor, instant_us()
        lines = batch_lines(reading, ExportOptions(now_us=now_us, batch_ids=ids_of(reading, batch)))
        if as_json:
            click.echo(figures_json(floor, lines, now_us))
        elif batch is None:
            click.echo(batches_text(floor, lines))
        else:
            click.echo("\n\n".join(batch_text(floor, line) for line, _ in lines))


@commands.command()
@record_option
def check(record: Path | None) -> int:
    """Tell whether a record is sound: the file, both sums, all that is derived, the journal."""
    from shopclock.exchange.check_text import running_text, sound_text
    from shopclock.record.check.check import check as wrong_with
    from shopclock.record.check.check import still_running

    path = place_of(record)
    wrong = wrong_with(path)
    for sentence in wrong:
        click.echo(sentence, err=True)
    if wrong:
        return 1
    with reading_of(record) as reading:
        click.echo(sound_text(reading))
        for row in still_running(path):
            click.echo(running_text(row, reading.floor, instant_us()))
    return 0


@commands.command()
@click.argument("file", type=click.Path(path_type=Path), required=False)
@record_option
def copy(file: Path | None, record: Path | None) -> None:
    """Copy the record to FILE, or among its copies; a window may have it open meanwhile."""
    from shopclock.record.copies.copying import copy_to, keep_copy

    path = place_of(record)
    if file is not None:
        copy_to(path, file)
        click.echo(f"{file} is written.")
        return
    made = keep_copy(path, instant_us())
    if made is None:
        click.echo("The newest copy has all there is.")
    else:
        click.echo(f"{made.trouble} {made.path} is written.".strip())


@commands.command()
@click.argument("copy", type=click.Path(path_type=Path))
@record_option
@click.option("--yes", is_flag=True, help="Do it; without, only what would be lost is told.")
def restore(copy: Path, record: Path | None, yes: bool) -> None:
    """Bring COPY back in the place of the record, which is kept as it was."""
    from shopclock.exchange.check_text import lost_text
    from shopclock.record.copies.restoring import lost
    from shopclock.record.copies.restoring import restore as put_back

    path = place_of(record)
    if not yes:
        click.echo(f"{lost_text(lost(path, copy))} Nothing was changed. With --yes it is done.")
        return
    kept = put_back(path, copy, instant_us())
    was = f" What was there is kept at {kept}." if kept is not None else ""
    click.echo(f"{path} is {copy} now.{was}")


@commands.command()
@click.argument("file", type=click.Path(path_type=Path))
@record_option
def archive(file: Path, record: Path | None) -> None:
    """Write the whole record to FILE.zip in open formats, readable without this program."""
    from shopclock.record.copies.archive import archive as write

    write(place_of(record), file, instant_us())
    click.echo(f"{file} is written.")


@commands.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("path", type=click.Path(path_type=Path))
def unarchive(file: Path, path: Path) -> None:
    """Make a new record at PATH of the archive FILE.zip, equal to the last row."""
    from shopclock.record.copies.unarchive import unarchive as read

    read(file, path)
    click.echo(f"{path} is written. `shopclock --record {path}` opens it.")


@commands.command()
@click.argument("path", type=click.Path(path_type=Path))
def demo(path: Path) -> None:
    """Write the record of the demo shop to PATH: two years, every figure invented."""
    from shopclock.demo.write import write_demo

    write_demo(path, instant_us())
    click.echo(f"{path} is written. `shopclock --record {path}` opens it.")


@commands.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--all", "everything", is_flag=True, help="In all sizes and both themes; without, one size in both.")
def tour(folder: Path, everything: bool) -> None:
    """Draw every screen and state as PNG into FOLDER; needs no screen."""
    from shopclock.tour.story import tour as draw

    click.echo(f"{draw(folder, everything=everything)} pictures are in {folder}.")


for moving in (export, import_, take_along_, bring_back):
    commands.add_command(moving)
for on_paper in (calendar, card, quote, review):
    commands.add_command(on_paper)
