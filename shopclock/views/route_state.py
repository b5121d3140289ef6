"""A route as an outline that fills: plain Python."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class RouteState:
    """State of the outline: "blade" or "bar"; the share done of each step, 0 to 1; texts at steps ("A-G" at 3).

    `running`: a clock runs by hand for it.
    """

    outline: str = "bar"
    fills: tuple[float, ...] = ()
    marks: tuple[tuple[int, str], ...] = ()
    spoken: str = ""
    running: bool = False
