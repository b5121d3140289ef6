"""What is heard with the whole screen."""

from __future__ import annotations

import sys
import wave
from types import ModuleType
from typing import TYPE_CHECKING

import pytest
from PySide6.QtWidgets import QApplication

from shopclock.places import resource
from shopclock.widgets.chime import READY, SPOILS, Chime

if TYPE_CHECKING:
    from PySide6.QtCore import QUrl


@pytest.fixture
def beeps(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    heard: list[str] = []
    monkeypatch.setattr(QApplication, "beep", lambda: heard.append("beep"))
    return heard


def test_without_a_player_the_machine_beeps(beeps: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "PySide6.QtMultimedia", None)  # how Python marks what can't be imported
    chime = Chime(resource("sounds"))
    chime.play(READY)
    chime.play(READY)
    assert beeps == ["beep", "beep"]


def test_with_one_each_sound_is_its_own(beeps: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    heard: list[str] = []

    class Player:
        def setSource(self, url: QUrl) -> None:
            self.name = url.fileName()

        def play(self) -> None:
            heard.append(self.name)

    player = ModuleType("PySide6.QtMultimedia")
    player.QSoundEffect = Player  # type: ignore[attr-defined]  # a module made by hand
    monkeypatch.setitem(sys.modules, "PySide6.QtMultimedia", player)
    chime = Chime(resource("sounds"))
    for name in (READY, SPOILS, READY):
        chime.play(name)
    assert (heard, beeps) == ([READY, SPOILS, READY], [])


@pytest.mark.parametrize("name", [READY, SPOILS])
def test_a_sound_is_short_plain_and_not_clipped(name: str) -> None:
    with wave.open(str(resource("sounds", name))) as sound:
        assert (sound.getnchannels(), sound.getsampwidth()) == (1, 2)
        assert 0.3 < sound.getnframes() / sound.getframerate() < 2
        levels = memoryview(sound.readframes(sound.getnframes())).cast("h")
    assert 8_000 < max(map(abs, levels)) < 32_000
