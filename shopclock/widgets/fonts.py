"""Loading the shipped font."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QFontDatabase

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

FONT_FILES = ("Inter-Medium.otf", "Inter-SemiBold.otf", "Inter-Bold.otf")


def load_font(files: Iterable[Path]) -> str:
    """The family of the shipped font files; the system's own family when they are missing or can't be read."""
    family = ""
    for path in files:
        number = QFontDatabase.addApplicationFont(str(path)) if path.exists() else -1
        families = QFontDatabase.applicationFontFamilies(number) if number >= 0 else []
        family = family or (families[0] if families else "")
    return family or QFontDatabase.systemFont(QFontDatabase.SystemFont.GeneralFont).family()
