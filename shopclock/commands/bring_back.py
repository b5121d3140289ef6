"""The command that joins the desk's copy with the record."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopclock.commands.common import confirm, quiet_option, record_option, take_over_option, writing_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shopclock.record.desk.looking import Found
    from shopclock.shop.state.shop_floor import ShopFloor

SIDES = ("shop", "desk")


@click.command(name="bring-back")
@quiet_option
@click.argument("file", type=click.Path(path_type=Path))
@record_option
@take_over_option
@click.option("--dry-run", is_flag=True, help="Only say what it would bring.")
@click.option("--both", type=click.Choice(SIDES), help="Which side holds where both changed the same entry.")
def bring_back_(file: Path, record: Path, dry_run: bool, both: str | None, take_over: bool) -> None:
    """Join FILE, the desk's copy, with the record: as one press, which Undo takes back.

    The window has to be closed. What both sides changed is told, with exit code 1; --both says which of them holds.
    """
    from shopclock.record.desk.bringing_back import bring_back, plan
    from shopclock.record.desk.looking import look_through
    from shopclock.shop.review.change_text import entry_name
    from shopclock.shop.state.transaction import Change
    from shopclock.shop.values.errors import ShopError

    with writing_of(record, take_over=take_over) as shop:
        found = look_through(shop.path, file)
        shop.bring_in([Change(entry.shop, entry.desk) for entry in found.entries])
        for line in _told(found, shop.floor):
            confirm(line)
        changed = [place for place, entry in enumerate(found.entries) if entry.both]
        if changed and both is None:
            entries = "an entry that both changed" if len(changed) == 1 else f"{len(changed)} entries that both changed"
            raise ShopError(
                f"Shop and desk differ in {entries}. Nothing was joined. Say which holds: --both shop or --both desk."
            )
        if dry_run or not found.entries:
            return
        planned = plan(shop.path, found, changed if both == "desk" else ())
        bring_back(shop, planned)
        shop.bring_in([Change(thing, thing) for thing in planned.gives_way])
        for name in dict.fromkeys(entry_name(shop.floor, thing) for thing in planned.gives_way):
            click.echo(f"Not as it was pressed, it gives way to the other side: {name}.", err=True)
    confirm(f"{file} is joined. Undo takes it back.")


def _told(found: Found, floor: ShopFloor) -> Iterator[str]:
    from shopclock.shop.review.change_text import entry_name, sides

    yield f"{len(found.entries)} {'entry' if len(found.entries) == 1 else 'entries'} from the desk."
    for entry in found.entries:
        if entry.both:
            said = "; ".join(
                f"{s.what} was {s.was}, the shop {s.shop}, the desk {s.desk}".strip()
                for s in sides(floor, *entry.sides)
            )
            yield f"Changed on both sides: {entry_name(floor, entry.shop or entry.thing)}: {said}."
