"""The commands that need no window, one file each. What one needs is imported inside it: --help answers at once."""

from __future__ import annotations

import contextlib
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopclock import __version__
from shopclock.commands.archive import archive
from shopclock.commands.bench import done, next_, start, status, stop, undo
from shopclock.commands.bring_back import bring_back_
from shopclock.commands.calendar import calendar
from shopclock.commands.card import card
from shopclock.commands.check import check
from shopclock.commands.completion import completion
from shopclock.commands.copy import copy
from shopclock.commands.costs import costs
from shopclock.commands.demo import demo
from shopclock.commands.export import export
from shopclock.commands.figures import figures
from shopclock.commands.import_notes import import_
from shopclock.commands.new import new
from shopclock.commands.planning import next_batch_, orders, plan, promise
from shopclock.commands.quote import quote
from shopclock.commands.restore import restore
from shopclock.commands.review import review
from shopclock.commands.schema import schema
from shopclock.commands.server import server
from shopclock.commands.take_along import take_along_
from shopclock.commands.tour import tour
from shopclock.commands.trend import trend
from shopclock.commands.unarchive import unarchive

if TYPE_CHECKING:
    from collections.abc import Sequence

OURS = "Something went wrong that is our mistake; the record was not changed. What happened is written down in {log}."


def main(arguments: Sequence[str]) -> int:
    """Run one command; the exit code: 0, 1 with a sentence, 2 when it was called wrongly."""
    try:
        code = commands.main(args=list(arguments), prog_name="shopclock", standalone_mode=False)
    except click.UsageError as error:
        return _say(f"{_sentence(error.format_message())} `shopclock --help` tells what there is.", error.exit_code)
    except click.ClickException as error:
        return _say(_sentence(error.format_message()), error.exit_code)
    except click.Abort:
        return 130
    except Exception as error:  # noqa: BLE001  # the last stop: our own mistakes are written down, not shown
        return _told(error)
    return code if isinstance(code, int) else 0


def _told(error: Exception) -> int:
    """Say an error of the world in its sentence; write down one of ours."""
    from shopclock.first_run import library_missed
    from shopclock.mistakes import write_down
    from shopclock.shop.values.errors import ShopError

    if isinstance(error, ShopError):
        return _say(str(error), 1)
    if isinstance(error, ImportError) and (said := library_missed(error)):
        return _say(said, 1)
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


for command in (
    archive, bring_back_, calendar, card, check, completion, copy, costs, demo, done, export, figures, import_, new,
    next_, next_batch_, orders, plan, promise, quote, restore, review, schema, server, start, status, stop, take_along_,
    tour, trend, unarchive, undo,
):  # fmt: skip
    commands.add_command(command)
