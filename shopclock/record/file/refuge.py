"""Refuge of a record whose disk can go away: a copy in the user's own folder, and each press since."""

import json
import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from shopclock.record.file.on_disk import make_folder
from shopclock.record.file.place import ENDING, state_folder
from shopclock.record.file.session import NONE, Lines, Newest, Pressed

FOLDER = "sticks"
MOST_BYTES = 4_000_000
"""Beyond this a new copy is made, from which few presses go on."""


@dataclass(frozen=True, slots=True)
class Refuge:
    """Refuge in a folder of its own: `base` is the copy, `path` where the record lies that it is of."""

    folder: Path
    path: Path

    @property
    def base(self) -> Path:
        """Place of the copy."""
        return self.folder / f"base{ENDING}"

    @property
    def _presses(self) -> Path:
        return self.folder / "presses.jsonl"

    def add(self, pressed: Pressed) -> None:
        """Keep one press more. Where that can't be done it is on the record's own disk alone."""
        line = json.dumps([*pressed.newest, [[*lines] for lines in pressed.lines]])
        with suppress(OSError):
            number = os.open(self._presses, os.O_CREAT | os.O_WRONLY | os.O_APPEND, 0o600)
            with os.fdopen(number, "w", encoding="utf-8") as file:
                file.write(f"{line}\n")
                file.flush()
                os.fsync(file.fileno())

    def presses(self) -> list[Pressed]:
        """Return the presses, as far as they are whole: the last may have been cut off."""
        found = []
        with suppress(OSError, ValueError, TypeError), self._presses.open(encoding="utf-8") as file:
            for line in file:
                number, uuid, tables = json.loads(line)
                lines = (Lines(table, tuple(names), tuple(map(tuple, rows))) for table, names, rows in tables)
                found.append(Pressed(Newest(number, uuid), tuple(lines)))
        return found

    def begin_after(self, newest: Newest) -> None:
        """Keep only the presses after one: the copy has all before."""
        later = [pressed for pressed in self.presses() if pressed.newest.id > newest.id]
        with suppress(OSError):
            self._presses.unlink(missing_ok=True)
        for pressed in later:
            self.add(pressed)

    def holds(self, newest: Newest, base: Newest) -> bool:
        """Tell whether copy (its newest press is given) and presses hold all of a record, and are not too many."""
        presses = self.presses()
        numbers = [pressed.newest.id for pressed in presses]
        last = presses[-1].newest if presses else base
        whole = base != NONE and numbers == list(range(base.id + 1, base.id + 1 + len(numbers)))
        return whole and last == newest and self._size() < MOST_BYTES

    def _size(self) -> int:
        try:
            return self._presses.stat().st_size
        except OSError:
            return 0


def refuge_of(shop_uuid: str, path: Path) -> Refuge:
    """Return the refuge of a shop's record, its folder made. OSError."""
    folder = state_folder() / FOLDER / shop_uuid
    make_folder(folder)
    place = folder / "place.json"
    place.write_text(json.dumps(os.path.realpath(path)), encoding="utf-8")
    place.chmod(0o600)
    return Refuge(folder, path)


def refuge_at(path: Path) -> Refuge | None:
    """Return the refuge of the record that was last at a path; nothing where there is none."""
    with suppress(OSError):
        for folder in (state_folder() / FOLDER).iterdir():
            with suppress(OSError, ValueError):
                found = json.loads((folder / "place.json").read_text(encoding="utf-8"))
                if found == os.path.realpath(path) and (folder / f"base{ENDING}").is_file():
                    return Refuge(folder, path)
    return None
