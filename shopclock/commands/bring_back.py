"""The command that joins the desk's copy with the record."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopclock.commands.common import confirm, quiet_option, record_option, take_over_option, writing_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shopclock.record.merge.merge_compare import Found
    from shopclock.shop.state.shop_floor import ShopFloor

SIDES = ("shop", "desk")


@click.command(name="bring-back")
@quiet_option
@click.argument("file", type=click.Path(path_type=Path))
@record_option
@take_over_option
@click.option("--dry-run", is_flag=True, help="Only say what it would bring.")
@click.option("--both", type=click.Choice(SIDES), help="Which side holds where both changed the same entry.")
def bring_back(file: Path, record: Path, dry_run: bool, both: str | None, take_over: bool) -> None:
    """Join FILE, the desk's copy, with the record: one press, which Undo takes back.

    The window has to be closed. What both sides changed is told, with exit code 1; --both says which of them holds.
    """
    from shopclock.record.merge.merge_apply import merge, plan_merge
    from shopclock.record.merge.merge_compare import look_through
    from shopclock.shop.review.change_text import entry_name
    from shopclock.shop.values.errors import ShopError

    with writing_of(record, take_over=take_over) as shop:
        found = look_through(shop.path, file)
        shop.bring_in([change for e in found.entries if (change := e.change(to_desk=True)) is not None])
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
        planned = plan_merge(shop.path, found, changed if both == "desk" else ())
        merge(shop, planned)
        for entry in planned.unfit:
            name = entry_name(shop.floor, entry.thing)
            click.echo(f"Left out, it does not go with what the shop has: {name}.", err=True)
    confirm(f"{file} is joined. Undo takes it back.")


def _told(found: Found, floor: ShopFloor) -> Iterator[str]:
    from shopclock.shop.review.change_text import entry_name, sides

    yield f"{len(found.entries)} {'entry' if len(found.entries) == 1 else 'entries'} from the desk."
    for entry in found.entries:
        if entry.both:
            said = "; ".join(
                f"{s.what} was {s.was}, the shop {s.shop}, the desk {s.desk}".strip()
                for s in sides(floor, entry.was, entry.shop, entry.desk)
            )
            yield f"Changed on both sides: {entry_name(floor, entry.shop or entry.thing)}: {said}."
