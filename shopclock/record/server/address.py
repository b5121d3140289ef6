"""Address of the shop's server, kept beside the record it is for: no copy of the record takes it along."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from shopclock.record.file.error_text import error_text
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.record.press.record import Record

UNREADABLE = "The server's address can't be read. All is kept here. Close the window and join again."
EARLIER = "This copy is from before the shop had several benches. Close the window and join again."
"""Joining again is `shopclock server join`."""


def address_file(record: Path) -> Path:
    """Return where a record's server is kept."""
    return record.with_name(f"{record.name}.server")


def goes_to_a_server(record: Path) -> bool:
    """Tell whether a record's bench goes to a server, whether or not the address can be read."""
    return address_file(record).is_file()


def address_of(record: Path) -> str | None:
    """Return the address of the server that a record's bench goes to; nothing where it goes to none.

    ShopError: what is kept there is no address.
    """
    place = address_file(record)
    if not goes_to_a_server(record):
        return None
    try:
        found = place.read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError):
        found = ""
    if not found:
        raise ShopError(UNREADABLE)
    return found


def address_to_go_to(record: Record) -> str | None:
    """Return the address that an open record's bench goes to. ShopError: it can't go there, and why."""
    where = address_of(record.path)
    if where is not None and not record.joined:
        raise ShopError(EARLIER)
    return where


def keep_address(record: Path, where: str) -> None:
    """Keep the address; ShopError where it holds a password."""
    refuse_secret(where)
    place = address_file(record)
    with error_text(place):
        place.touch(0o600)
        place.write_text(f"{where}\n", encoding="utf-8")


def forget_address(record: Path) -> None:
    """Go to no server any more."""
    place = address_file(record)
    with error_text(place):
        place.unlink(missing_ok=True)


_WITH_SECRET = re.compile(r"\w+://[^/@]*:[^/@]*@")


def refuse_secret(where: str) -> None:
    """ShopError where an address holds a password, which would be kept with it."""
    if "password" in where.casefold() or _WITH_SECRET.match(where):
        raise ShopError(
            "The address holds a password, which is not kept here. Nothing was changed. "
            "Put it into libpq's password file (.pgpass) and leave it out."
        )
