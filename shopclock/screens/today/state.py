"""What Today shows, ready to be drawn."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TodayTile:
    """A tile or button: its key, its texts, their colour roles, how far its line is filled."""

    key: str
    title: str
    detail: str = ""
    figure: str = ""
    aside: str = ""
    note: str = ""
    role: str = "plate"
    figure_role: str = "text"
    note_role: str = "straw"
    fraction: float | None = None
    checked: bool = False
    written_left: bool = True


@dataclass(frozen=True, slots=True)
class SpoilBand:
    """What spoils, and the button that starts what it needs."""

    title: str
    detail: str
    button: TodayTile


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and its tiles; without tiles the heading is a sentence."""

    heading: str
    tiles: tuple[TodayTile, ...] = ()


@dataclass(frozen=True, slots=True)
class TodayState:
    """Everything on the screen. `way` is where to go from when there is nothing to do here."""

    have: str
    times: tuple[TodayTile, ...]
    bands: tuple[SpoilBand, ...]
    ready: tuple[Section, ...]
    cooking: Section | None
    way: TodayTile | None
