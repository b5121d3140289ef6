"""A page as plain data, laid out from the top down: texts, lines and boxes in millimetres from its upper left."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from shopclock.exchange.workbook.safe_text import clean

MARGIN_MM = 11.0
"""What stays white around a page: printers don't reach the edge."""


class PaperFill(StrEnum):
    """Filling of a box. Each is told from the others without colour."""

    NONE = "none"
    SOLID = "solid"
    PALE = "pale"
    RISING = "rising lines"
    FALLING = "falling lines"
    CROSS = "crossed lines"
    UPRIGHT = "upright lines"


@dataclass(frozen=True, slots=True)
class PaperSize:
    """A size of paper, upright."""

    name: str
    width_mm: float
    height_mm: float


A4 = PaperSize("A4", 210.0, 297.0)
LETTER = PaperSize("Letter", 215.9, 279.4)
"""ISO 216, and ANSI/ASME Y14.1 size A."""
SIZES = {size.name: size for size in (A4, LETTER)}
LETTER_PLACES = frozenset(["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"])
"""Where people print on Letter, by ISO 3166 code: paperSize US-Letter of Unicode Technical Standard 35, part 6."""


def usual_size(territory: str) -> PaperSize:
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
    fill: PaperFill = PaperFill.NONE
    pen_mm: float = 0.2


@dataclass(frozen=True, slots=True)
class PaperPage:
    """A sheet of paper with what stands on it, what lies under first."""

    size: PaperSize
    items: tuple[Text | Line | Box, ...]

    @property
    def texts(self) -> tuple[str, ...]:
        """All that can be read on it."""
        return tuple(item.text for item in self.items if isinstance(item, Text))


STAMP_MM = 3.0
"""Letters of a stamp, which stands in the upper margin."""


def stamped(pages: Sequence[PaperPage], said: str) -> tuple[PaperPage, ...]:
    """Return pages that all say something over what stands on them; as they are where there is nothing to say."""
    if not said:
        return tuple(pages)
    return tuple(replace(page, items=(*page.items, _stamp(page.size, said))) for page in pages)


def _stamp(size: PaperSize, said: str) -> Text:
    wide = size.width_mm - 2 * MARGIN_MM
    return Text(MARGIN_MM, MARGIN_MM - 1.6 * STAMP_MM, wide, 1.4 * STAMP_MM, clean(said), STAMP_MM, across=0.5)


LEAST_MM = 1.9
"""The smallest letters that are printed; what doesn't fit then is cut."""
LEADING = 1.38
"""From one line of a paragraph to the next, in sizes."""


class PageDraft:
    """Collects what stands on a page; `y_mm` is where the next thing goes."""

    def __init__(self, size: PaperSize) -> None:
        self.size = size
        self.left_mm = MARGIN_MM
        self.width_mm = size.width_mm - 2 * MARGIN_MM
        self.bottom_mm = size.height_mm - MARGIN_MM
        self.y_mm = MARGIN_MM
        self._items: list[Text | Line | Box] = []

    @property
    def right_mm(self) -> float:
        """Begin of the margin on the right."""
        return self.left_mm + self.width_mm

    @property
    def room_mm(self) -> float:
        """Room that is left of the page's height."""
        return self.bottom_mm - self.y_mm

    def text(
        self,
        place: tuple[float, float, float, float],
        text: str,
        size_mm: float,
        *,
        bold: bool = False,
        across: float = 0.0,
    ) -> None:
        """Put a line of text in a place (left, top, width, height), no larger than it fits."""
        x, y, width, height = place
        kept = " ".join(clean(text).split())
        told, size = fitted_text(kept, min(size_mm, height / 1.25), min(LEAST_MM, size_mm), width)
        if told:
            self._items.append(Text(x, y, width, height, told, size, bold, across))

    def line(self, x: float, y: float, to_x: float, to_y: float, pen_mm: float = 0.2) -> None:
        """Draw a line."""
        self._items.append(Line(x, y, to_x, to_y, pen_mm))

    def box(
        self, place: tuple[float, float, float, float], fill: PaperFill = PaperFill.NONE, pen_mm: float = 0.2
    ) -> None:
        """Draw a box in a place."""
        self._items.append(Box(*place, fill, pen_mm))

    def across(self, text: str, size_mm: float, *, bold: bool = False, gap_mm: float = 0.0) -> None:
        """Put a line of text over the whole width, and go on under it."""
        height = size_mm * LEADING
        self.text((self.left_mm, self.y_mm, self.width_mm, height), text, size_mm, bold=bold)
        self.y_mm += height + gap_mm

    def paragraph(self, text: str, size_mm: float, *, bold: bool = False, gap_mm: float = 0.0) -> None:
        """Put text over the whole width, on as many lines as it takes, and go on under it."""
        for line in wrapped(clean(text), size_mm, self.width_mm):
            self.across(line, size_mm, bold=bold)
        self.y_mm += gap_mm

    def height_of(self, texts: Sequence[str], size_mm: float) -> float:
        """Return what paragraphs would take of the height."""
        lines = sum(len(wrapped(clean(text), size_mm, self.width_mm)) for text in texts)
        return lines * size_mm * LEADING

    def page(self) -> PaperPage:
        """Return the page as it is now."""
        return PaperPage(self.size, tuple(self._items))


_ADVANCES = (
    "265 325 400 650 655 860 674 218 410 410 565 680 303 469 298 390 689 490 630 660 678 645 661 595 661 "
    "661 298 303 680 680 680 563 1031 748 661 753 728 613 586 761 747 281 570 690 568 915 747 782 648 783 "
    "657 655 669 738 748 1036 715 725 667 410 390 410 488 477 498 581 636 588 636 598 386 634 625 273 273 "
    "582 273 912 622 614 633 633 409 562 389 622 586 851 574 586 572 410 374 410 680 "
)
"""Thousandths of the size for the characters from the space to ~: the wider of Inter Medium and Inter Bold."""
ADVANCE = {chr(32 + place): int(width) / 1000 for place, width in enumerate(_ADVANCES.split())}
OTHER = 1.05
"""For all other characters; the widest letters of most scripts are as wide as they are high."""
LOWER = 0.70
"""For other small letters of the Latin script: they are as wide as those without accents, or narrower than this."""


def width_mm(text: str, size_mm: float) -> float:
    """Return the width of a line of text."""
    return sum(_advance(letter) for letter in text) * size_mm


def _advance(letter: str) -> float:
    known = ADVANCE.get(letter)
    if known is not None:
        return known
    return LOWER if "\u00df" < letter < "\u0180" and letter.islower() and letter not in "æœ" else OTHER


def fitted_text(text: str, size_mm: float, least_mm: float, room_mm: float) -> tuple[str, float]:
    """Return text as large as it fits: smaller, down to `least_mm`, then cut with an ellipsis."""
    wide = width_mm(text, size_mm)
    if wide <= room_mm:
        return text, size_mm
    smaller = size_mm * room_mm / wide
    if smaller >= least_mm:
        return text, smaller
    kept = text
    while kept and width_mm(f"{kept}…", least_mm) > room_mm:
        kept = kept[:-1]
    return (f"{kept.rstrip()}…" if kept else ""), least_mm


def wrapped(text: str, size_mm: float, room_mm: float) -> list[str]:
    """Break text into lines between words; a word that is wider than the room is cut where it ends."""
    lines: list[str] = []
    for word in text.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and width_mm(joined, size_mm) <= room_mm:
            lines[-1] = joined
        else:
            lines += _pieces(word, size_mm, room_mm)
    return lines


def _pieces(word: str, size_mm: float, room_mm: float) -> list[str]:
    found = [""]
    for letter in word:
        if found[-1] and width_mm(found[-1] + letter, size_mm) > room_mm:
            found.append("")
        found[-1] += letter
    return found
