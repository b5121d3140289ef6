"""Having a file on the disk itself, with its name."""

import os
from pathlib import Path


def on_disk(path: Path) -> None:
    """Have a file on the disk itself."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def folder_on_disk(folder: Path) -> None:
    """Put the names in a folder on the disk too, where the system knows how."""
    if hasattr(os, "O_DIRECTORY"):
        number = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(number)
        finally:
            os.close(number)


OWNERS_ALONE = 0o600
"""Rights of whatever is written that is no export, whatever the umask says."""


def make_file(path: Path) -> None:
    """Make an empty file for its owner alone. FileExistsError where there is one."""
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, OWNERS_ALONE))


def make_folder(folder: Path) -> None:
    """Make a folder for its owner alone, with those above it that are missing, their names on the disk too."""
    missing = [one for one in (folder, *folder.parents) if not one.exists()]
    for one in reversed(missing):
        one.mkdir(0o700, exist_ok=True)
        folder_on_disk(one.parent)
