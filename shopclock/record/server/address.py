"""Address of the shop's server, kept beside the record it is for: no copy of the record takes it along."""

import re
from pathlib import Path

from shopclock.record.file.error_text import error_text
from shopclock.shop.values.errors import ShopError


def address_file(record: Path) -> Path:
    """Return where a record's server is kept."""
    return record.with_name(f"{record.name}.server")


def address_of(record: Path) -> str | None:
    """Return the address of the server that a record's bench goes to; nothing where it goes to none."""
    place = address_file(record)
    with error_text(place):
        found = place.read_text(encoding="utf-8").strip() if place.is_file() else ""
    return found or None


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
