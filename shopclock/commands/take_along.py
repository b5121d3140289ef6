"""The command that writes the copy of the record that a desk gets."""

from pathlib import Path

import click

from shopclock.commands.common import confirm, quiet_option, record_option, take_over_option, writing_of


@click.command(name="take-along")
@quiet_option
@click.argument("file", type=click.Path(path_type=Path))
@record_option
@take_over_option
def take_along_(file: Path, record: Path, take_over: bool) -> None:
    """Write the desk's copy of the record to FILE: what is older can be put right there while the shop goes on.

    The window has to be closed.
    """
    from shopclock.record.desk.taking_along import TAKEN, take_along
    from shopclock.shop.state.desk_copy import call_off, check_out

    with writing_of(record, take_over=take_over) as shop:
        handed, _ = shop.press(TAKEN, check_out, undoable=False)
        try:
            take_along(shop.path, file, shop.clock)
        except BaseException:
            shop.press(TAKEN, lambda tx: call_off(tx, handed), undoable=False)
            raise
    confirm(f"{file} is the desk's copy.")
