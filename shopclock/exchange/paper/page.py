"""A page as plain data: texts, lines and boxes in millimetres from its upper left corner. Nothing here draws."""

from dataclasses import dataclass
from enum import StrEnum

MARGIN_MM = 11.0
"""What stays white around a page: printers don't reach the edge."""


class Fill(StrEnum):
    """How a box is filled. Each is told from the others without colour."""

    NONE = "none"
    SOLID = "solid"
    PALE = "pale"
    RISING = "rising lines"
    FALLING = "falling lines"
    CROSS = "crossed lines"
    UPRIGHT = "upright lines"


@dataclass(frozen=True, slots=True)
class Size:
    """A size of paper, upright."""

    name: str
    width_mm: float
    height_mm: float


A4 = Size("A4", 210.0, 297.0)
LETTER = Size("Letter", 215.9, 279.4)
"""ISO 216, and ANSI/ASME Y14.1 size A."""
SIZES = {size.name: size for size in (A4, LETTER)}
LETTER_PLACES = frozenset(["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"])
"""Where people print on Letter, by ISO 3166 code: paperSize US-Letter of Unicode Technical Standard 35, part 6."""


def usual_size(territory: str) -> Size:
    """Return the size that is usual in a place, by its two letters; A4 where nothing is known."""
    return LETTER if territory.upper() in LETTER_PLACES else A4


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text, upright in the middle of its box; `across` is 0 at the left end, 1 at the right."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    text: str
    size_mm: float
    bold: bool = False
    across: float = 0.0


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    x_mm: float
    y_mm: float
    to_x_mm: float
    to_y_mm: float
    pen_mm: float = 0.2


@dataclass(frozen=True, slots=True)
class Box:
    """A box with its edge (none where 0) and filling."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    fill: Fill = Fill.NONE
    pen_mm: float = 0.2


@dataclass(frozen=True, slots=True)
class Page:
    """A sheet of paper with what stands on it, what lies under first."""

    size: Size
    items: tuple[Text | Line | Box, ...]

    @property
    def texts(self) -> tuple[str, ...]:
        """All that can be read on it."""
        return tuple(item.text for item in self.items if isinstance(item, Text))
