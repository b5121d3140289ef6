"""Files of copies: where they lie, what they are called, and what is remembered about them beside the record.

A copy is a whole record: `shop 2026-11-25 191407 3fa91c2e.shopclock`, the instant in UTC and the beginning of the
shop's own UUID, so that the copies of two shops can lie in one folder.
"""

import json
import re
import tempfile
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from shopclock.record.file.place import ENDING
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.plain_file import read_plain

US = 1_000_000
BEFORE = "before"
"""What a copy is called that was made of a record before another took its place; it is never removed."""
_NAME = re.compile(
    rf"(?P<stem>.+) (?P<at>\d{{4}}-\d\d-\d\d \d{{6}}) (?P<shop>[0-9a-f]{{8}})(?P<before> {BEFORE})?{ENDING}"
)
MOST = 100_000
"""Bytes of what is remembered about copies."""
_AT = "%Y-%m-%d %H%M%S"


@dataclass(frozen=True, slots=True)
class Copy:
    """One copy: where it lies, when it was made, which shop it is of, its bytes."""

    path: Path
    at_us: int
    shop: str
    size: int
    before: bool


@dataclass(frozen=True, slots=True)
class Keeps:
    """Notes kept beside a record: the folder chosen for copies, what went wrong last, if it may be damaged.

    A record that may be damaged is looked through when it is opened next. `sound` says of copies, by name, whether
    their journal makes them again.
    """

    folder: str = ""
    trouble: str = ""
    suspect: bool = False
    sound: dict[str, bool] = field(default_factory=dict)


def usual_folder(record: Path) -> Path:
    """Return the folder beside a record where its copies lie when no other was chosen."""
    return record.with_name(f"{record.stem} copies")


def read_keeps(record: Path) -> Keeps:
    """Return what is remembered about the copies of a record; nothing chosen where that can't be read."""
    try:
        keeps = Keeps(**json.loads(read_plain(_keeps_place(record), MOST)))
    except (OSError, ValueError, TypeError, RecursionError, ShopError):
        return Keeps()
    kinds = (type(keeps.folder), type(keeps.trouble), type(keeps.suspect), type(keeps.sound))
    plain = kinds == (str, str, bool, dict) and all(type(sound) is bool for sound in keeps.sound.values())
    return keeps if plain else Keeps()


def write_keeps(record: Path, keeps: Keeps) -> None:
    """Remember this beside a record, whole or not at all. OSError when the disk doesn't take it."""
    place = _keeps_place(record)
    with tempfile.NamedTemporaryFile("w", dir=place.parent, prefix=f".{place.name}-", delete=False) as file:
        json.dump(asdict(keeps), file)
    try:
        Path(file.name).replace(place)
    finally:
        Path(file.name).unlink(missing_ok=True)


def _keeps_place(record: Path) -> Path:
    return record.with_name(f"{record.name}.copies")


def name_of(record: Path, at_us: int, shop_uuid: str, *, before: bool = False) -> str:
    """Name the copy of a record that is made at an instant."""
    at = datetime.fromtimestamp(at_us // US, UTC).strftime(_AT)
    return f"{record.stem} {at} {shop_uuid[:8]}{f' {BEFORE}' if before else ''}{ENDING}"


def copies_in(folder: Path, record: Path) -> list[Copy]:
    """Return the copies of a record in a folder, the newest first; none where it can't be read."""
    found: list[Copy | None] = []
    with suppress(OSError):
        found.extend(_copy(path, record.stem) for path in folder.iterdir())
    return sorted(filter(None, found), key=lambda copy: copy.at_us, reverse=True)


def _copy(path: Path, stem: str) -> Copy | None:
    match = _NAME.fullmatch(path.name)
    if match is None or match["stem"] != stem or not path.is_file():
        return None
    try:
        at = datetime.strptime(match["at"], _AT).replace(tzinfo=UTC)
        size = path.stat().st_size
    except (ValueError, OSError):
        return None
    return Copy(path, round(at.timestamp()) * US, match["shop"], size, match["before"] is not None)


def copies_of(record: Path) -> list[Copy]:
    """Return all copies of a record that can be reached, beside it and where it was told, the newest first."""
    folders = {usual_folder(record), Path(read_keeps(record).folder or usual_folder(record))}
    found = (copy for folder in folders for copy in copies_in(folder, record))
    return sorted(found, key=lambda copy: copy.at_us, reverse=True)
