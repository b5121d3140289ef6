"""Time between two presses, passed by the test: a bounce is one on a busy machine too."""

from __future__ import annotations

from typing import ClassVar


class Stopwatch:
    """Takes the place of QElapsedTimer where presses are timed."""

    now_ms: ClassVar[int] = 0

    def __init__(self) -> None:
        self._began_ms: int | None = None

    @classmethod
    def on(cls, ms: int) -> None:
        """Let time pass, for all of them."""
        cls.now_ms += ms

    def start(self) -> None:
        self._began_ms = self.now_ms

    def isValid(self) -> bool:
        return self._began_ms is not None

    def elapsed(self) -> int:
        assert self._began_ms is not None
        return self.now_ms - self._began_ms
