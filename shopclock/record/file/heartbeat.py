"""The sign of life: a small file beside the record that says when the program was last known to run."""

import json
import os
from dataclasses import asdict, dataclass
from pathlib import Path

from shopclock.shop.values.clock import Moment
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.plain_file import read_plain

MOST = 10_000
"""Bytes of a sign of life."""


@dataclass(frozen=True, slots=True)
class Heartbeat:
    """Heartbeat: what all clocks said, and the instant in the record's own time.

    `left` is how the file was left (its number, bytes, last change): the log beside it belongs to that one.
    """

    at_us: int
    wall_us: int
    boot_us: int
    awake_us: int
    boot_id: str
    offset_min: int
    left: str = ""

    @property
    def moment(self) -> Moment:
        """The clocks alone."""
        return Moment(self.wall_us, self.boot_us, self.awake_us, self.boot_id, self.offset_min)


def heartbeat_of(moment: Moment, at_us: int, left: str = "") -> Heartbeat:
    """Return the sign of life of a moment."""
    return Heartbeat(at_us, moment.wall_us, moment.boot_us, moment.awake_us, moment.boot_id, moment.offset_min, left)


def place(path: Path) -> Path:
    """Return where the sign of life of a record lies."""
    return path.with_name(f"{path.name}.life")


def write(path: Path, sign: Heartbeat) -> None:
    """Set the sign of life beside the record at a path, whole or not at all. OSError when it can't be."""
    new = path.with_name(f"{path.name}.life-new")
    handle = os.open(new, os.O_CREAT | os.O_WRONLY | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "w", encoding="ascii") as file:
        json.dump(asdict(sign), file)
        file.flush()
        os.fsync(file.fileno())
    new.replace(place(path))


def read(path: Path) -> Heartbeat | None:
    """Return the last sign of life of the record at a path; nothing where there is none that makes sense."""
    try:
        found = json.loads(read_plain(place(path), MOST))
        sign = Heartbeat(**found)
    except (OSError, ValueError, TypeError, RecursionError, ShopError):
        return None
    numbers = (sign.at_us, sign.wall_us, sign.boot_us, sign.awake_us, sign.offset_min)
    texts = (sign.boot_id, sign.left)
    return sign if all(type(n) is int for n in numbers) and all(type(text) is str for text in texts) else None
