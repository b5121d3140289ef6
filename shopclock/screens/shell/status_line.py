"""The line beside the date: what the alarms have to say, else a word about the copies."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable


class StatusLine:
    """Holds what two speakers say and shows one of them; it takes no room from the screen in sight."""

    def __init__(self, show: Callable[[str], None]) -> None:
        self._show = show
        self._alarm = ""
        self._copies = ""

    def alarm(self, sentence: str) -> None:
        """Say what was seen and is not over; empty when there is nothing."""
        self._alarm = sentence
        self._say()

    def copies(self, sentence: str) -> None:
        """Say what is wrong with the copies; empty when nothing is."""
        self._copies = sentence
        self._say()

    def _say(self) -> None:
        self._show(self._alarm or self._copies)
