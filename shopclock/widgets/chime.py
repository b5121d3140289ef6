"""Sound when the whole screen changes: only a help, and nothing where the machine has none."""

from __future__ import annotations

from functools import cached_property
from importlib import import_module
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QUrl
from PySide6.QtWidgets import QApplication

if TYPE_CHECKING:
    from pathlib import Path

READY, SPOILS = "ready.wav", "spoils.wav"
"""Two rising tones for what is over or asked; three falling pairs, higher and louder, for what spoils."""


class Chime:
    """Plays the sounds of a folder. Without the extra `sound`, which has Qt's player, the machine's beep is heard."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._effects: dict[str, Any] = {}

    def play(self, name: str) -> None:
        """Let it be heard once, and go on at once."""
        if self._player is None:
            QApplication.beep()
            return
        if name not in self._effects:
            self._effects[name] = self._player()
            self._effects[name].setSource(QUrl.fromLocalFile(str(self._folder / name)))
        self._effects[name].play()

    @cached_property
    def _player(self) -> Any:
        """Qt's class for short sounds; nothing where the extra is not installed."""
        try:
            return import_module("PySide6.QtMultimedia").QSoundEffect
        except ImportError:
            return None
