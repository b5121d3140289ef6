"""A disk that loses power: what `disk_recorder.c` has recorded, played again up to any instant, and what is left then.

The model is the worst that the standards allow: of a file only what was there at its last sync is left, of names only
those of the last sync of their folder (fsync(2): the entry in the folder needs a sync of its own). Other disks keep
more, in any order: `all_of_it` and `some_of_it`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    import random
    from collections.abc import Callable, Iterator

SECTOR = 512


class Entry(NamedTuple):
    """One thing that a program did to its disk."""

    kind: str
    file: int
    at: int
    name: str
    data: bytes


def entries(recorded: bytes) -> Iterator[Entry]:
    """Yield what was recorded."""
    at = 0
    while at < len(recorded):
        end = recorded.index(b"\n", at)
        kind, file, offset, length, name = recorded[at:end].decode().split(" ", 4)
        at = end + 1 + int(length)
        yield Entry(kind, int(file), int(offset), name, recorded[end + 1 : at])


@dataclass
class File:
    """A file: its bytes as programs see them, as they were at the last sync, and what was written since."""

    seen: bytearray = field(default_factory=bytearray)
    synced: bytes = b""
    since: list[tuple[int, bytes]] = field(default_factory=list)

    def write(self, at: int, data: bytes) -> None:
        _put(self.seen, at, data)
        self.since.append((at, data))

    def cut(self, size: int) -> None:
        _cut(self.seen, size)
        self.since.append((size, b""))

    def sync(self) -> None:
        self.synced = bytes(self.seen)
        self.since.clear()

    def some_of_it(self, dice: random.Random) -> bytes:
        """Return the synced bytes with some of what was written since, sector by sector, in any order."""
        found = bytearray(self.synced)
        for at, data in self.since:
            if not data:
                if dice.random() < 0.5:
                    _cut(found, at)
                continue
            for part in range(0, len(data), SECTOR):
                if dice.random() < 0.5:
                    _put(found, at + part, data[part : part + SECTOR])
        return bytes(found)


def _put(into: bytearray, at: int, data: bytes) -> None:
    into.extend(bytes(max(0, at - len(into))))
    into[at : at + len(data)] = data


def _cut(data: bytearray, size: int) -> None:
    del data[size:]
    data.extend(bytes(size - len(data)))


class Disk:
    """The disk under a folder while entries are played; `notes` are those of the program."""

    def __init__(self, folder: str) -> None:
        self.folder = folder
        self.notes: list[str] = []
        self._files: dict[int, File] = {}
        self._names: dict[str, File | None] = {}  # None: a folder
        self._kept: dict[str, File | None] = {}
        self._verbs: dict[str, Callable[[Entry], object]] = {
            "C": self._made,
            "W": lambda entry: self._files[entry.file].write(entry.at, entry.data),
            "T": lambda entry: self._files[entry.file].cut(entry.at),
            "S": lambda entry: self._files[entry.file].sync(),
            "D": self._folder_synced,
            "R": self._renamed,
            "L": self._linked,
            "U": lambda entry: self._names.pop(entry.name, None),
            "M": self._folder_made,
            "N": lambda entry: self.notes.append(entry.data.decode()),
        }

    def play(self, entry: Entry) -> None:
        """Do what the program did."""
        self._verbs[entry.kind](entry)

    def _made(self, entry: Entry) -> None:
        self._names[entry.name] = self._files[entry.file] = File()

    def _folder_synced(self, entry: Entry) -> None:
        for name in {one for one in (*self._names, *self._kept) if str(Path(one).parent) == entry.name}:
            if name in self._names:
                self._kept[name] = self._names[name]
            else:
                del self._kept[name]

    def _renamed(self, entry: Entry) -> None:
        self._names[entry.data.decode()] = self._names.pop(entry.name)

    def _linked(self, entry: Entry) -> None:
        self._names[entry.data.decode()] = self._names[entry.name]

    def _folder_made(self, entry: Entry) -> None:
        self._names[entry.name] = None

    def only_synced(self, into: Path) -> None:
        """Leave what was synced, and nothing else."""
        self._leave(self._kept, into, lambda file: file.synced)

    def all_of_it(self, into: Path) -> None:
        """Leave all that was done: as after a kill."""
        self._leave(self._names, into, lambda file: bytes(file.seen))

    def some_of_it(self, into: Path, dice: random.Random) -> None:
        """Leave what was synced and some of the rest, with the old names or the new."""
        self._leave(dice.choice((self._kept, self._names)), into, lambda file: file.some_of_it(dice))

    def _leave(self, names: dict[str, File | None], into: Path, bytes_of: Callable[[File], bytes]) -> None:
        for name, file in sorted(names.items()):
            place = into / name.removeprefix(self.folder).lstrip("/")
            if file is None:
                place.mkdir(parents=True, exist_ok=True)
            elif all(str(above) in names for above in Path(name).parents if str(above).startswith(f"{self.folder}/")):
                place.parent.mkdir(parents=True, exist_ok=True)
                place.write_bytes(bytes_of(file))
