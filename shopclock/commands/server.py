"""The commands for a shop with several benches: making the meeting place, joining it, how it stands, leaving it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shopclock.commands.common import holding, record_option, take_over_option, writing_of

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.record.server.exchange import Standing


@click.group()
def server() -> None:
    """Several benches of one shop, through a PostgreSQL server of the shop's own.

    ADDRESS is what libpq takes ("service=shop", "host=nas dbname=shop user=bench"). Passwords stay in libpq's own
    file.
    """


@server.command(name="init")
@click.argument("address")
@record_option
@take_over_option
def init_(address: str, record: Path, take_over: bool) -> None:
    """Make the meeting place at ADDRESS and send the whole record there. The window has to be closed."""
    from shopclock.record.server.joining_in import init

    with writing_of(record, take_over=take_over) as shop:
        _tell(init(shop, address))
    click.echo("The server has all of it. Other benches join with `shopclock server join`.")


@server.command(name="join")
@click.argument("address")
@record_option
@take_over_option
def join_(address: str, record: Path, take_over: bool) -> None:
    """Join the shop at ADDRESS, with a copy of its record, or without: then all of it comes from there.

    It goes on as a bench of its own. The window has to be closed.
    """
    from shopclock.record.server.joining_in import join
    from shopclock.shop.values.clock import SystemClock

    with holding(record, take_over=take_over):
        _tell(join(record, address, SystemClock()))
    click.echo(f"{record} is a bench of that shop.")


@server.command()
@record_option
def status(record: Path) -> None:
    """Tell which benches there are, when each was last heard of, and how many presses wait."""
    from shopclock.record.server.address import address_of
    from shopclock.record.server.status import lines

    where = address_of(record)
    if where is None:
        click.echo("This record goes to no server.")
        return
    for line in lines(record, where):
        click.echo(line)


@server.command(name="leave")
@record_option
@take_over_option
def leave_(record: Path, take_over: bool) -> None:
    """Go to the server no more. What was pressed stays there and here. The window has to be closed."""
    from shopclock.record.server.address import goes_to_a_server
    from shopclock.record.server.joining_in import leave

    if not goes_to_a_server(record):
        raise click.ClickException("This record goes to no server. Nothing was changed.")
    with writing_of(record, take_over=take_over) as shop:
        told = leave(shop)
    listed = "" if told else " The server could not be told, so the others list it for a while."
    click.echo(f"This bench goes on alone.{listed} `shopclock server join` joins it again.")


def _tell(standing: Standing) -> None:
    if standing.sentence:
        click.echo(standing.sentence, err=True)
