"""Disks that are full or can't be written: small file systems in memory, where this machine lets a test mount them."""

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest


@contextmanager
def small_disk(place: Path, size: str) -> Iterator[Path]:
    """A disk of this size (1m), empty; skips the test where nothing can be mounted."""
    place.mkdir()
    _mount("-t", "tmpfs", "-o", f"size={size},mode=0700", "tmpfs", str(place))
    try:
        yield place
    finally:
        subprocess.run(["umount", "--lazy", str(place)], check=True)


@contextmanager
def read_only(place: Path) -> Iterator[None]:
    """A file or folder that can only be read, for the root user too."""
    _mount("--bind", str(place), str(place))
    try:
        _mount("-o", "remount,ro,bind", str(place))
        yield
    finally:
        subprocess.run(["umount", "--lazy", str(place)], check=True)


def _mount(*arguments: str) -> None:
    try:
        done = subprocess.run(["mount", *arguments], capture_output=True, text=True, check=False)
    except FileNotFoundError:
        pytest.skip("there is no mount on this machine")
    if done.returncode:
        pytest.skip(f"nothing can be mounted here: {done.stderr.strip()}")


def fill(place: Path) -> Path:
    """Take all the room that a disk has left; the file to remove to get it back."""
    hog = place / "hog"
    with hog.open("wb", buffering=0) as file, suppress(OSError):
        while True:
            file.write(b"\0" * 4096)
    return hog
