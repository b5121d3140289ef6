"""The archives that can be reached: where they lie, how old they are, what a record made of one is called."""

from dataclasses import dataclass
from pathlib import Path

from shopclock.record.place import ENDING

PATTERN = "* archive.zip"


@dataclass(frozen=True, slots=True)
class ArchiveFile:
    """One archive, when it was written last, its bytes."""

    path: Path
    at_us: int
    size: int


def archives_in(folder: Path) -> list[ArchiveFile]:
    """Return the archives in a folder, the newest first; none where it can't be read."""
    try:
        found = [(path, path.stat()) for path in folder.glob(PATTERN) if path.is_file()]
    except OSError:
        return []
    files = [ArchiveFile(path, stat.st_mtime_ns // 1000, stat.st_size) for path, stat in found]
    return sorted(files, key=lambda one: one.at_us, reverse=True)


def place_for(archive: Path, folder: Path) -> Path:
    """Return where a record made of an archive goes in a folder, with a number where there is one already."""
    stem = archive.stem.removesuffix(" archive")
    place, number = folder / f"{stem} of an archive{ENDING}", 1
    while place.exists() or place.is_symlink():
        number += 1
        place = folder / f"{stem} of an archive ({number}){ENDING}"
    return place
