"""A stick for a test: a file system on a device that can be pulled out, where this machine lets a test mount one.

It lies under /mnt, where a system shows what is plugged in. Pulled out, the device has no bytes any more: the kernel
gives an error for each read and write that goes to it, and whatever had it open keeps what is dead.
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

SIZE = 16 << 20
NEEDED = ("losetup", "mkfs.ext4", "mount")


class Stick:
    """A stick plugged in at `place`; what is on it lies in the file `image`."""

    def __init__(self, image: Path, place: Path) -> None:
        self.image = image
        self.place = place
        self._device = ""

    def plug_in(self, image: Path | None = None) -> None:
        """Plug it in, or another with these bytes."""
        self.image = image or self.image
        self._device = _said("losetup", "--find", "--show", self.image)
        _said("mount", self._device, self.place)

    def state(self, name: str) -> Path:
        """Return a copy of all that is on the disk now: what a stick has that is pulled out now."""
        return Path(shutil.copyfile(self.image, self.image.with_name(name)))

    def pull_out(self) -> None:
        """Let each read and write fail from now on. What was on the disk stays in `image`."""
        left = self.state("left")
        with self.image.open("rb+") as file:
            file.truncate(0)
        _said("losetup", "--set-capacity", self._device)
        self.image = left

    def take_away(self) -> None:
        """Take its place and device away; who has a file of it open keeps them until it is closed."""
        if self._device:
            subprocess.run(["umount", "--lazy", self.place], check=True)
            subprocess.run(["losetup", "--detach", self._device], check=False)
            self._device = ""


@contextmanager
def stick(folder: Path) -> Iterator[Stick]:
    """A stick that is plugged in; its image lies in a folder. Skips the test where nothing can be mounted."""
    if lacks := [name for name in NEEDED if shutil.which(name) is None]:
        pytest.skip(f"not on this machine: {', '.join(lacks)}")
    image = folder / "image"
    image.write_bytes(b"")
    with image.open("rb+") as file:
        file.truncate(SIZE)
    _said("mkfs.ext4", "-q", "-F", image)
    place = Path(_made())
    made = Stick(image, place)
    try:
        made.plug_in()
        yield made
    finally:
        made.take_away()
        place.rmdir()


def _made() -> str:
    try:
        return tempfile.mkdtemp(prefix="shopclock-stick-", dir="/mnt")
    except OSError as error:
        pytest.skip(f"no stick can be played here: {error}")


def _said(*command: str | Path) -> str:
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        pytest.skip(f"no stick can be played here: {done.stderr.strip()}")
    return done.stdout.strip()
