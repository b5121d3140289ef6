"""The sticks and other drives that are plugged in and can be written to."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QStorageInfo

PLUGGED_IN = ("/media/", "/run/media/", "/mnt/", "/Volumes/")
"""Where systems show what is plugged in; Windows gives each drive a letter."""


def drives() -> list[tuple[str, Path]]:
    """Name and place of each drive a copy could go to."""
    found = (volume for volume in QStorageInfo.mountedVolumes() if volume.isValid() and not volume.isReadOnly())
    return [(volume.displayName(), Path(volume.rootPath())) for volume in found if _plugged_in(volume.rootPath())]


def places_of_files() -> list[Path]:
    """The folders that the maker's own files usually lie in, and what is plugged in."""
    from PySide6.QtCore import QStandardPaths

    place = QStandardPaths.StandardLocation
    usual = (place.DocumentsLocation, place.DownloadLocation, place.DesktopLocation)
    return [*(Path(QStandardPaths.writableLocation(one)) for one in usual), *(root for _, root in drives())]


def _plugged_in(root: str) -> bool:
    letter = len(root) <= 3 and root[1:2] == ":" and root[:1].upper() != "C"
    return letter or root.startswith(PLUGGED_IN)
