"""What long work is given to: plain Python, so that presenters can have it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol

Task = Callable[..., Any]
Then = Callable[[Any], None]
Failed = Callable[[BaseException], None]


class Work(Protocol):
    """Something that does long work and hands its answer on."""

    def run(self, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        """Start `task(*arguments)`; `then` gets its result, `failed` what it raised."""

    def close(self) -> None:
        """Wait for what runs and end."""
