"""Disks that go away: those that can be pulled out, and those of other machines."""

import os
import sys
from contextlib import suppress
from pathlib import Path

REMOTE = ("nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "ceph", "davfs", "vboxsf", "virtiofs", "afpfs", "webdav")
"""File systems that lie on another machine; what begins with "fuse." may (mount(8), proc_pid_mountinfo(5))."""
PLUGGED_IN = ("/media/", "/run/media/", "/mnt/", "/Volumes/")
"""Where systems show what is plugged in."""


def can_go_away(path: Path) -> bool:
    """Tell whether the disk of a file is one that can be pulled out, or of another machine."""
    real = os.path.realpath(path)
    if sys.platform == "win32":
        return _can_go_away_there(real)
    if real.startswith(PLUGGED_IN):
        return True
    kind, device = _mount_of(real)
    return kind in REMOTE or kind.startswith("fuse.") or _is_removable(device)


def _mount_of(real: str) -> tuple[str, str]:
    """Return kind and device (major:minor) of the file system that a file lies on, as Linux tells."""
    found = ("", "")
    with suppress(OSError), Path("/proc/self/mountinfo").open(encoding="utf-8", errors="surrogateescape") as file:
        longest = -1
        for line in file:
            fields = line.split(" ")
            place = fields[4].encode("latin-1", "replace").decode("unicode_escape") if "\\" in fields[4] else fields[4]
            if len(place) >= longest and (real + "/").startswith(place.rstrip("/") + "/"):
                longest, found = len(place), (fields[fields.index("-") + 1], fields[2])
    return found


def _is_removable(device: str) -> bool:
    """Tell by what Linux says of a block device, or of the one that it is a part of."""
    place = os.path.realpath(f"/sys/dev/block/{device}")
    if not device or not Path(place).is_dir():
        return False
    for folder in (Path(place), Path(place).parent):
        with suppress(OSError):
            if (folder / "removable").read_text(encoding="ascii").strip() == "1":
                return True
    return "/usb" in place


def _can_go_away_there(real: str) -> bool:
    import ctypes

    if real.startswith("\\\\"):
        return True
    removable, remote = 2, 4  # GetDriveTypeW
    kind = getattr(ctypes, "windll").kernel32.GetDriveTypeW(os.path.splitdrive(real)[0] + "\\")  # noqa: B009  # mypy knows it on Windows alone
    return kind in (removable, remote)
