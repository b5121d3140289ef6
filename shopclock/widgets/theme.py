"""Colours by role: one theme object from which style sheet, painted controls and charts are made."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

CONTRAST_MIN = 7.0
"""The least contrast of any text in use: WCAG 2.2, success criterion 1.4.6 (AAA)."""


@dataclass(frozen=True, slots=True)
class Theme:
    """The colour of each role, "#RRGGBB"."""

    name: str
    ground: str
    plate: str
    raised: str
    text: str
    quiet: str
    line: str
    dye: str
    dye_deep: str
    on_dye: str
    dye_text: str
    straw: str
    green: str
    red: str
    bronze: str
    purple: str
    ink: str
    red_ground: str
    green_ground: str
    straw_ground: str


@dataclass(frozen=True, slots=True)
class Surface:
    """Colours on one ground: text, quiet text, scribed line; `sunk` is a calmer fill on it.

    Coloured text (straw, green, red) is kept for surfaces with `accents`, where it has 7:1.
    """

    ground: str
    text: str
    quiet: str
    line: str
    sunk: str
    accents: bool = False

    def inverted(self) -> Surface:
        """The same surface with text and ground exchanged: what is pressed or chosen."""
        return Surface(self.text, self.ground, self.ground, self.text, self.text)


class ThemeError(ValueError):
    """A theme file that lacks a role, or has one that is no colour."""


def read_theme(path: Path, name: str) -> Theme:
    """The theme `name` ("dark", "paper") of a theme file; ThemeError says what is wrong with it."""
    table = tomllib.loads(path.read_text(encoding="utf-8")).get(name, {})
    roles = [field.name for field in fields(Theme) if field.name != "name"]
    for role in roles:
        if not _is_colour(table.get(role)):
            raise ThemeError(f'{path}: [{name}] {role} should be a colour such as "#1E40C8".')
    return Theme(name, **{role: table[role] for role in roles})


def _is_colour(value: object) -> bool:
    return isinstance(value, str) and re.fullmatch("#[0-9A-Fa-f]{6}", value) is not None


SURFACES = ("ground", "plate", "raised", "primary", "outline", "dye", "dark", "red", "green", "straw", "ink")
"""The surface roles that plates and buttons can have."""


PLAIN = ("ground", "plate", "dark", "outline")
"""The surfaces that carry coloured text."""


def surface(theme: Theme, role: str) -> Surface:
    """Surface of a plate or button of this role. "dark" is the plate of what is stopped.

    "outline" is what starts a clock: a plate with a bright edge, never the blue of a clock that runs.
    """
    t = theme
    plain = {
        "ground": (t.ground, t.plate),
        "plate": (t.plate, t.raised),
        "dark": (t.plate, t.raised),
        "raised": (t.raised, t.plate),
    }
    if role == "outline":
        return Surface(t.plate, t.text, t.quiet, t.text, t.raised, accents=True)
    if role in plain:
        ground, sunk = plain[role]
        return Surface(ground, t.text, t.quiet, t.line, sunk, accents=role in PLAIN)
    filled = {
        "primary": Surface(t.text, t.ground, t.ground, t.text, t.text),
        "dye": Surface(t.dye, t.on_dye, t.on_dye, t.on_dye, t.dye_deep),
        "ink": Surface(t.ink, t.on_dye, t.on_dye, t.ink, t.ink),
        "red": Surface(t.red_ground, t.ink, t.ink, t.ink, t.red_ground),
        "green": Surface(t.green_ground, t.ink, t.ink, t.ink, t.green_ground),
        "straw": Surface(t.straw_ground, t.ink, t.ink, t.ink, t.straw_ground),
    }
    return filled[role]


COLOURED = ("dye", "red", "green", "straw")
"""The surfaces on which plain buttons are only outlined."""


def button_surface(theme: Theme, role: str, on: str) -> Surface:
    """Surface of a button of `role` that stands on surface `on`."""
    if on not in COLOURED or role not in ("plate", "raised", "primary", "outline", on):
        return surface(theme, role)
    base = surface(theme, on)
    return base.inverted() if role == "primary" else base


def accent(theme: Theme, on: Surface, role: str) -> str:
    """The colour of text of `role` (text, quiet, straw, green, red, dye_text, bronze, purple) on a surface."""
    if role == "quiet":
        return on.quiet
    return str(getattr(theme, role)) if on.accents else on.text


ACCENTS = ("straw", "green", "red", "dye_text", "bronze", "purple")


def pairs(theme: Theme) -> list[tuple[str, str, str]]:
    """Every (name, text colour, ground colour) that is put on the screen."""
    found = []
    for role in SURFACES:
        s = surface(theme, role)
        for name, ground in ((role, s.ground), (f"{role}, sunk", s.sunk)):
            found += [(f"text on {name}", s.text, ground), (f"quiet on {name}", s.quiet, ground)]
        found.append((f"{role} inverted", s.inverted().text, s.inverted().ground))
        found += [(f"{a} on {role}", accent(theme, s, a), s.ground) for a in ACCENTS]
    return found


def contrast(one: str, other: str) -> float:
    """The contrast of two colours, 1 to 21, as WCAG 2.2 defines contrast ratio and relative luminance."""
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def _luminance(colour: str) -> float:
    red, green, blue = (_linear(int(colour[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else float(((channel + 0.055) / 1.055) ** 2.4)
