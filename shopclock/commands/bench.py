"""The commands that press at the Bench: in the window that has the record open, else on the record itself."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from shopclock.commands.answers import json_option, tell
from shopclock.commands.common import confirm, quiet_option, reading_of, record_option, take_over_option, writing_of

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.commands.common import Option
    from shopclock.screens.bench.outside import OutsidePress, RunningWork, Told, Waiting
    from shopclock.shop.figures.trend_rows import Usual


@click.command()
@record_option
@json_option
def status(record: Path, as_json: bool) -> None:
    """Tell what runs and since when, what waits and until when; also while a window has the record open."""
    from shopclock.screens.bench.outside import running_lines, running_work, waiting

    with reading_of(record) as reading:
        floor, now_us = reading.floor, _now_us(reading.newest_us)
        runs, waits = running_work(floor, now_us), waiting(floor, now_us)
        lines = [*running_lines(floor, runs), *(one.said for one in waits)]
        tell(
            as_json, lines, now=utc(now_us), running=[_work(one) for one in runs], waiting=[_wait(one) for one in waits]
        )


def _now_us(newest_us: int) -> int:
    from shopclock.commands.common import instant_us

    return max(instant_us(), newest_us)


def utc(at_us: int | None) -> str | None:
    """Return an instant as JSON has it: 2026-03-07T19:10:00.000000Z."""
    from datetime import UTC, datetime, timedelta

    if at_us is None:
        return None
    return f"{datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=at_us):%Y-%m-%dT%H:%M:%S.%fZ}"


def _work(one: RunningWork) -> dict[str, object]:
    keys = ("maker", "step", "batch", "kind", "minutes", "pieces")
    return {**{key: getattr(one, key) for key in keys}, "since": utc(one.since_us)}


def _wait(one: Waiting) -> dict[str, object]:
    keys = ("step", "batch", "kind", "pieces")
    return {**{key: getattr(one, key) for key in keys}, "since": utc(one.since_us), "ready": utc(one.ready_us)}


def _send(record: Path, asked: OutsidePress, *, take_over: bool, as_json: bool) -> int:
    """Press in the window that has the record open; where none has, on the record itself."""
    from shopclock.screens.start.outside_line import send_press

    told = send_press(record, asked)
    if told is None:
        told = _on_record(record, asked, take_over=take_over)
    if as_json:
        tell(True, [], done=told.done, said=told.said)
    elif told.done:
        confirm(told.said)
    else:
        click.echo(told.said, err=True)
    return 0 if told.done else 1


def _on_record(record: Path, asked: OutsidePress, *, take_over: bool) -> Told:
    from shopclock.screens.bench.at_bench import AtBench
    from shopclock.screens.bench.outside import Nobody, press_outside
    from shopclock.shop.state.desk_copy import at_desk

    with writing_of(record, take_over=take_over) as opened:
        if at_desk(opened.floor) is not None:
            raise click.ClickException("This is the desk's copy: clocks are the shop's. Nothing was changed.")

        def usual_of(stage_id: int, method_id: int | None, pattern_id: int | None, maker_id: int) -> Usual | None:
            return opened.reads.usual(stage_id, method_id, pattern_id, opened.instant(), maker_id)

        told = press_outside(AtBench(opened, Nobody(), usual_of, lambda *_: None), asked)
        opened.give_sign(opened.clock.moment())
    return told


maker_option: Option = click.option(
    "--maker", metavar="NAME", default="", help="Whose hands press, where several work; without, who pressed last."
)


def _pressing(command: Any) -> Any:
    """Give a command the options that all presses have."""
    return record_option(maker_option(take_over_option(quiet_option(json_option(command)))))


@click.command()
@click.argument("step")
@click.option("--batch", metavar="NAME", default="", help="The batch; without, the one in sight, else the only one.")
@_pressing
def start(step: str, batch: str, record: Path, maker: str, take_over: bool, as_json: bool) -> int:
    """Start STEP, by its name or the beginning of a word of it, as a press on its tile does."""
    from shopclock.screens.bench.outside import OutsidePress

    return _send(record, OutsidePress("start", step, batch, maker=maker), take_over=take_over, as_json=as_json)


@click.command("next")
@_pressing
def next_(record: Path, maker: str, take_over: bool, as_json: bool) -> int:
    """Press Next: the pieces in hand are through, the step that follows begins."""
    from shopclock.screens.bench.outside import OutsidePress

    return _send(record, OutsidePress("next", maker=maker), take_over=take_over, as_json=as_json)


@click.command()
@click.argument("letter", default="")
@_pressing
def done(letter: str, record: Path, maker: str, take_over: bool, as_json: bool) -> int:
    """Mark a piece as through: the one of LETTER, else the next."""
    from shopclock.screens.bench.outside import OutsidePress

    return _send(record, OutsidePress("done", letter, maker=maker), take_over=take_over, as_json=as_json)


@click.command()
@_pressing
def stop(record: Path, maker: str, take_over: bool, as_json: bool) -> int:
    """Stop what runs by hand."""
    from shopclock.screens.bench.outside import OutsidePress

    return _send(record, OutsidePress("stop", maker=maker), take_over=take_over, as_json=as_json)


@click.command()
@click.option("--yes", is_flag=True, help="Also where the window would ask first.")
@_pressing
def undo(yes: bool, record: Path, maker: str, take_over: bool, as_json: bool) -> int:
    """Take back the last press."""
    from shopclock.screens.bench.outside import OutsidePress

    return _send(record, OutsidePress("undo", yes=yes, maker=maker), take_over=take_over, as_json=as_json)
